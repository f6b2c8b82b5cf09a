#include "vessel/vessel.h"

#include "electrode/presets.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

std::string complaint(const std::string& toml) {
    const auto vessel = parse_vessel(toml, "boat.toml");
    return vessel ? "accepted" : to_text(vessel.error());
}

const std::string boat = "[vessel]\nname = \"Tern\"\nhull = \"aluminium\"\n";

} // namespace

TEST_CASE("a whole vessel file is read") {
    const auto vessel = parse_vessel(boat + R"(berth = "C7"
launched = 2026-04-30T14:30:00+02:00
length_m = 11.2
[water]
salinity_psu = [22, 33]
temperature_c = 12
[cell]
scale = "agcl/open"
serial = "C-17"
last_check = 2026-05-01
[rules]
set = "small-craft"
[baseline]
potential_mv = -760
[[metal]]
name = "propeller"
kind = "copper-alloy"
[[point]]
name = "rudder"
[[anode]]
place = "hull"
alloy = "aluminium"
mass_kg = 2.5
fitted = 2026-04-12
)",
                                     "boat.toml");
    REQUIRE(vessel);
    CHECK(vessel->name == "Tern");
    CHECK(vessel->hull == Hull::aluminium);
    CHECK(vessel->berth == "C7");
    CHECK(vessel->length_m == 11.2);
    CHECK(vessel->water.salinity_psu->low == 22);
    CHECK(vessel->water.salinity_psu->high == 33);
    CHECK(vessel->water.temperature_c == 12);
    CHECK(vessel->cell.scale == Scale::agcl_open);
    CHECK(vessel->cell.last_check == "2026-05-01");
    CHECK(vessel->rule_set == "small-craft");
    CHECK(vessel->baseline->potential_mv == -760);
    CHECK(vessel->metals.at(0).kind == "copper-alloy");
    CHECK(vessel->points.at(0).name == "rudder");
    REQUIRE(vessel->launched);
    CHECK(to_text(vessel->launched->earliest) == "2026-04-30T12:30:00Z");
    CHECK(vessel->launched->latest == vessel->launched->earliest);
    REQUIRE(vessel->anodes.at(0).fitted);
    CHECK(vessel->anodes.at(0).fitted->text == "2026-04-12");
    CHECK(to_text(vessel->anodes.at(0).fitted->latest) == "2026-04-13T00:00:00Z");
}

TEST_CASE("a point says whether it is bonded and where it is; the hull itself is always bonded") {
    const std::string tern = "[vessel]\nname = \"Tern\"\nhull = \"grp\"\n[[metal]]\n"
                             "name = \"cock\"\nkind = \"copper-alloy\"\n[[point]]\n";
    const auto vessel =
        parse_vessel(tern + "name = \"intake\"\nmetal = \"cock\"\nbonded = false\nforward = 0.3\n"
                            "side = \"port\"\n[[point]]\nname = \"main bus\"\n",
                     "boat.toml");
    REQUIRE_MESSAGE(vessel, to_text(vessel.error()));
    CHECK_FALSE(vessel->points.at(0).bonded);
    CHECK(vessel->points.at(0).place == HullPlace{0.3, HullSide::port});
    CHECK(vessel->points.at(1).bonded);
    CHECK_FALSE(vessel->points.at(1).place);
    const auto refused = [&](const char* line) {
        return parse_vessel(tern + "name = \"x\"\n" + line, "boat.toml").error();
    };
    CHECK(refused("side = \"left\"").where == "boat.toml:9");
    CHECK(refused("side = \"left\"").remedy == "Use port, centre or starboard");
    CHECK(refused("forward = 1.5").where == "boat.toml:9");
    CHECK(refused("bonded = false").what.find("the hull itself cannot be unbonded") !=
          std::string::npos);
}

TEST_CASE("the file that `vessel new` writes is a good vessel file, whatever the name") {
    for (const char* name : {"Tern", "She said \"aye\"", "back\\slash", "two\nlines", "Måke"}) {
        CAPTURE(name);
        const auto vessel = parse_vessel(new_vessel_file(name, Hull::wood), "new.toml");
        REQUIRE_MESSAGE(vessel, to_text(vessel.error()));
        CHECK(vessel->name == name);
        CHECK(vessel->hull == Hull::wood);
        CHECK(vessel->water.kind == "sea");
        CHECK(vessel->cell.scale == Scale::agcl_open);
    }
}

TEST_CASE("an unknown key is refused with its line and the keys that exist") {
    CHECK(complaint(boat + "colour = \"red\"\n") ==
          "boat.toml:4: [vessel] colour: no such key. The keys here are: beam_m, berth, draught_m, "
          "hull, launched, length_m, name.");
    CHECK(complaint(boat + "[engine]\n").starts_with("boat.toml:4: engine: no such key"));
    CHECK(complaint(boat + "[[anode]]\nplace = \"hull\"\n[[anode]]\nplace = \"shaft\"\nsize = 3\n")
              .starts_with("boat.toml:8: [[anode]] size: no such key"));
}

TEST_CASE("a value of the wrong type or outside its range is refused with its line") {
    CHECK(complaint(boat + "length_m = \"long\"\n").starts_with("boat.toml:4: [vessel] length_m:"));
    CHECK(
        complaint(boat + "[water]\nsalinity_psu = 99\n")
            .starts_with("boat.toml:5: [water] salinity_psu: 99 is outside the range 0.05 to 42"));
    CHECK(complaint(boat + "[water]\nsalinity_psu = [33, 22]\n")
              .starts_with(
                  "boat.toml:5: [water] salinity_psu: the range has to go from low to high"));
    CHECK(complaint(boat + "[water]\nsalinity_psu = nan\n")
              .starts_with("boat.toml:5: [water] salinity_psu:"));
    CHECK(complaint(boat + "[cell]\nlast_check = \"yesterday\"\n")
              .starts_with("boat.toml:5: [cell] last_check: a date is expected here"));
}

TEST_CASE("an unknown hull or scale names the valid ones") {
    const std::string hull = complaint("[vessel]\nname = \"Tern\"\nhull = \"cheese\"\n");
    CHECK(hull.starts_with("boat.toml:3: [vessel] hull:"));
    CHECK(hull.find("grp-aluminium-drive") != std::string::npos);
    const std::string scale = complaint(boat + "[cell]\nscale = \"volts\"\n");
    CHECK(scale.starts_with("boat.toml:5: [cell] scale:"));
    CHECK(scale.find("agcl/seawater") != std::string::npos);
}

TEST_CASE("an unknown rule set or metal is refused with its line and the known ones") {
    CHECK(complaint(boat + "[rules]\nset = \"none\"\n") ==
          "boat.toml:5: [rules] set: there is no rule set \"none\". Use one of: small-craft, "
          "marine-metals, ships, ships-iso, offshore, offshore-nace, navy, fresh-water.");
    CHECK(complaint(boat + "[rules]\noxygen = \"anaerobic\"\n") == "accepted");
    CHECK(complaint(boat + "[rules]\noxygen = \"little\"\n")
              .starts_with("boat.toml:5: [rules] oxygen: there is no oxygen \"little\""));
    CHECK(complaint(boat + "[rules]\nset = \"marine-metals\"\n") == "accepted");
    CHECK(complaint(boat + "[[metal]]\nname = \"propeller\"\nkind = \"brass\"\n")
              .starts_with("boat.toml:6: [[metal]] kind: there is no metal \"brass\""));
}

TEST_CASE("a point on a metal that the file does not list is refused, wherever the metals stand") {
    const std::string metal = "[[metal]]\nname = \"propeller\"\nkind = \"copper-alloy\"\n";
    const std::string point = "[[point]]\nname = \"shaft\"\nmetal = ";
    CHECK(complaint(boat + point + "\"propeller\"\n" + metal) == "accepted");
    CHECK(complaint(boat + metal + point + "\"rudder\"\n") ==
          "boat.toml:9: [[point]] metal: no [[metal]] has the name \"rudder\". Use one of: "
          "propeller.");
    CHECK(complaint(boat + point + "\"rudder\"\n") ==
          "boat.toml:6: [[point]] metal: no [[metal]] has the name \"rudder\". List the metal, or "
          "leave the line out for the hull itself.");
}

TEST_CASE("the water of a file is refused where no judgement could use it") {
    const auto refused = [](const std::string& line) {
        return complaint(boat + "[water]\n" + line + "\n").starts_with("boat.toml:5: [water]");
    };
    CHECK(refused("chloride_mg_l = 0.2"));
    CHECK(refused("chloride_mg_l = [8, 24000]"));
    CHECK(refused("salinity_psu = 0.04"));
    CHECK(refused("temperature_c = 41"));
    CHECK(refused("kind = \"muddy\""));
    CHECK(complaint(boat + "[water]\nchloride_mg_l = [1, 23880]\n") == "accepted");
}

TEST_CASE("a name that says nothing is refused") {
    CHECK(complaint("[vessel]\nname = \"\"\nhull = \"grp\"\n") ==
          "boat.toml:2: [vessel] name: it is empty.");
}

TEST_CASE("a misspelt key is told before the one that is missing because of it") {
    CHECK(complaint("[vessel]\nnmae = \"Tern\"\nhull = \"grp\"\n")
              .starts_with("boat.toml:2: [vessel] nmae: no such key"));
}

TEST_CASE("the file that `vessel new` writes names every hull, metal and kind of water") {
    const std::string file = new_vessel_file("Tern", Hull::grp);
    for (const Hull hull : all_hulls())
        CHECK(file.find(name_of(hull)) != std::string::npos);
    for (const Metal metal : all_metals())
        CHECK(file.find(name_of(metal)) != std::string::npos);
    for (const WaterPreset& preset : all_water_presets())
        CHECK(file.find(preset.name) != std::string::npos);
}

TEST_CASE("water described twice is refused") {
    CHECK(
        complaint(boat + "[water]\nkind = \"sea\"\nsalinity_psu = 30\n").find("described twice") !=
        std::string::npos);
}

TEST_CASE("a file that is not TOML says where it stops being so") {
    CHECK(complaint("[vessel\nname = 3").starts_with("boat.toml:1:"));
    CHECK(complaint("") ==
          "boat.toml:1: vessel: missing. `quaycell vessel new` writes a file that has it.");
}
