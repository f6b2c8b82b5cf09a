#include "cli/nmea_sentences.h"

#include "judging/made_live.h"

#include <array>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

std::vector<std::string> with_id(const std::vector<std::string>& sentences, const std::string& id) {
    std::vector<std::string> found;
    for (const std::string& sentence : sentences)
        if (sentence.find(',' + id + ',') != std::string::npos ||
            sentence.find(',' + id + '*') != std::string::npos)
            found.push_back(sentence);
    return found;
}

} // namespace

TEST_CASE("the checksum is that of sentences that instruments send") {
    // Sentences of two instruments, as read in the field; the checksum is the standard's.
    CHECK(nmea_checksum(
              "HCXDR,A,171,D,PITCH,A,-37,D,ROLL,G,367,,MAGX,G,2420,,MAGY,G,-8984,,MAGZ") == "41");
    CHECK(nmea_checksum("YXXDR,C,7,C") == "54");
}

TEST_CASE("a sentence of one transducer") {
    const std::array hull{Transducer{'U', "-0.9612", "V", "HULL"}};
    CHECK(xdr_sentences(hull) == std::vector<std::string>{"$IIXDR,U,-0.9612,V,HULL*6F\r\n"});
    CHECK(xdr_sentences({}).empty());
}

TEST_CASE("no sentence is longer than the standard allows, and none is cut") {
    for (std::size_t length = 1; length < 40; ++length) {
        const Transducer each{'U', std::string(length, '1'), "V", "HULL"};
        const std::vector<Transducer> many(12, each);
        std::size_t quadruplets = 0;
        for (const std::string& sentence : xdr_sentences(many)) {
            CHECK(sentence.size() <= 82);
            CHECK(sentence.ends_with("\r\n"));
            std::size_t at = 0;
            while ((at = sentence.find(",HULL", at)) != std::string::npos) {
                ++quadruplets;
                ++at;
            }
        }
        CHECK(quadruplets == many.size());
    }
}

TEST_CASE("a settled reading has the potential alone in its first sentence, in volts") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::to_come); // AC of a cell without resistance
    const auto sentences =
        nmea_sentences(live.take_many(10, {.potential_mv = -961.25, .ac_mv = 12}));
    CHECK(sentences.front().starts_with("$IIXDR,U,-0.961"));
    CHECK(sentences.front().find("V,HULL*") != std::string::npos);
    CHECK(with_id(sentences, "CELLA").size() == 1);
    REQUIRE(with_id(sentences, "HULLAC").size() == 1);
    CHECK(with_id(sentences, "HULLAC").front().find("U,0.0120,V,HULLAC") != std::string::npos);
    CHECK(with_id(sentences, "BATTERY").front().find("U,4.4996,V,BATTERY") != std::string::npos);
    CHECK(with_id(sentences, "READSET").front().find("G,1,,READSET") != std::string::npos);
    CHECK(with_id(sentences, "CELLSET").front().find("G,0,,CELLSET") != std::string::npos);
    CHECK(with_id(sentences, "WATER").empty()); // not measured
    CHECK(with_id(sentences, "CELLB").empty());
    CHECK(with_id(sentences, "DRIFT").empty()); // not known yet
}

TEST_CASE("the verdict is a number that the layout names") {
    const auto verdict_at = [](double potential_mv) {
        MadeLive live;
        const auto found = with_id(nmea_sentences(live.take_many(10, {potential_mv})), "VERDICT");
        REQUIRE(found.size() == 1);
        return found.front().at(found.front().find(",,VERDICT") - 1);
    };
    CHECK(verdict_at(1000) == '0');
    CHECK(verdict_at(-1020) == '1');
    CHECK(verdict_at(-700) == '2');
    CHECK(verdict_at(-1300) == '3');
    CHECK(verdict_at(-951) == '4');
}

TEST_CASE("with an open lead there is no potential, and it says which it is") {
    MadeLive live;
    const auto sentences = nmea_sentences(
        live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead}));
    for (const char* id : {"HULL", "HULLU", "CELLA", "DRIFT"})
        CHECK(with_id(sentences, id).empty());
    CHECK(with_id(sentences, "LEAD").front().find("G,3,,LEAD") != std::string::npos);
}
