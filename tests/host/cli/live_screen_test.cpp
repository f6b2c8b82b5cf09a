#include "cli/live_screen.h"

#include "cli/big_digits.h"
#include "diagnosis/survey_steps.h"
#include "judging/made_live.h"

#include <algorithm>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

std::string text_of(const std::vector<ScreenLine>& lines) {
    std::string text;
    for (const ScreenLine& line : lines)
        text += line.text + '\n';
    return text;
}

std::size_t characters(const std::string& text) {
    return static_cast<std::size_t>(std::ranges::count_if(
        text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// A view with as much to say as there ever is.
LiveView full_view(double potential_mv, double ac_mv) {
    MadeLive live;
    live.watch.say_shore({ShoreCord::plugged, MadeLive::at(90)});
    live.take_many(80, {potential_mv});
    return live.take(
        {.potential_mv = potential_mv, .ac_mv = ac_mv, .source_a = MadeLive::good_cell});
}

} // namespace

TEST_CASE("at 40 by 20 the number is large, and verdict, limit and what has settled stand there") {
    const LiveView view = full_view(-1020, 4);
    CHECK(text_of(live_screen({.view = &view}, {40, 20})) ==
          "00000077  20:29:41Z\n"
          "\n"
          "       ##   ###### ###### ######\n"
          "      ###   ##  ##     ## ##  ##\n"
          "####   ##   ##  ## ###### ##  ##\n"
          "       ##   ##  ## ##     ##  ##\n"
          "     ###### ###### ###### ######\n"
          "mV agcl/seawater, within 15 mV (k = 2)\n"
          "PROTECTED, cell not settled\n"
          "aluminium: protected from -950 to -1100\n"
          "mV on agcl/seawater\n"
          "reading settled: 10 within 2 mV\n"
          "cell    so far +0.0 mV in 5 min (80 s)\n"
          "AC      4 mV rms\n"
          "leads   good, 10.8 kohm, seen 0 s ago\n"
          "shore   plugged since 20:28:10Z\n"
          "water   15 degC, salinity 35 PSU\n"
          "battery 4.50 V\n"
          "as read -1020.0 mV on agcl/open\n"
          "n note p plug in u unplug w why q end\n");
}

TEST_CASE("every screen has its rows, and none is wider than the window") {
    const LiveView calm = full_view(-1020, 4);
    const LiveView hazard = full_view(-400, 300);
    MadeLive open_live;
    const LiveView open =
        open_live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead});
    const std::vector<std::string> notice = words_at(SurveyStep::begin);
    const std::vector<ScreenContent> contents{
        {.view = &calm},
        {.view = &hazard},
        {.view = &open},
        {.view = &calm, .notice = notice},
        {.view = &hazard, .notice = notice, .notice_alone = true, .message = "kept in a.quaycell"},
        {.notice = notice, .message = std::string(300, 'x')},
        {.view = &calm, .typed = std::string(120, 'y')},
        {.view = &calm,
         .typed = std::string(50, 'y') + " \xC3\xA4\xC3\xB6" + std::string(50, 'z')}};
    for (const ScreenSize size : {ScreenSize{80, 24}, ScreenSize{40, 20}, ScreenSize{200, 60},
                                  ScreenSize{20, 8}, ScreenSize{5, 2}, ScreenSize{1, 1}})
        for (const ScreenContent& content : contents) {
            const auto lines = live_screen(content, size);
            CHECK(lines.size() == size.rows);
            for (const ScreenLine& line : lines)
                CHECK(characters(line.text) <= size.columns);
        }
}

TEST_CASE("too much AC says stop before all else, with all of its words, at both sizes") {
    const LiveView view = full_view(-1020, 300); // behind 10.8 kohm of 330, that is 3 % more
    for (const ScreenSize size : {ScreenSize{80, 24}, ScreenSize{40, 20}}) {
        std::string text = text_of(live_screen({.view = &view}, size));
        CHECK(text.find("needs a larger window") == std::string::npos);
        std::ranges::replace(text, '\n', ' ');
        CHECK(text.find("AC TOO HIGH: 310 mV rms") != std::string::npos);
        for (const std::string& caution : words_at(SurveyStep::ac_seen))
            CHECK(text.find(caution) != std::string::npos);
    }
}

TEST_CASE("what to beware of at the start and at each change of shore power fits at both sizes") {
    const LiveView view = full_view(-1020, 4);
    for (const ScreenSize size : {ScreenSize{80, 24}, ScreenSize{40, 20}})
        for (const SurveyStep step : {SurveyStep::begin, SurveyStep::plug_in, SurveyStep::unplug}) {
            const std::vector<std::string> notice = words_at(step);
            std::string text = text_of(live_screen(
                {.view = &view, .notice = notice, .notice_alone = step == SurveyStep::begin},
                size));
            std::ranges::replace(text, '\n', ' ');
            for (const std::string& words : notice)
                CHECK(text.find(words) != std::string::npos);
        }
}

TEST_CASE("what has no room on one screen is on the next ones, and nothing is left out") {
    std::vector<std::string> notice;
    for (int i = 0; i < 12; ++i)
        notice.push_back("caution " + std::to_string(i) + " " + std::string(50, 'x') + " end");
    const LiveView hazard = full_view(-400, 300);
    for (const LiveView* view : std::initializer_list<const LiveView*>{nullptr, &hazard})
        for (const ScreenSize size : {ScreenSize{80, 24}, ScreenSize{40, 20}, ScreenSize{40, 12}}) {
            if (view != nullptr && size.rows < 20) continue; // what AC asks for takes all of it
            std::string seen;
            std::size_t screens = 0;
            for (std::vector<std::string> left = notice; !left.empty(); ++screens) {
                const ScreenContent content{.view = view, .notice = left, .notice_alone = true};
                const auto next = notice_left(content, size);
                REQUIRE(next.size() < left.size());
                const std::string text = text_of(live_screen(content, size));
                CHECK((text.find("any key\n") != std::string::npos) == !next.empty());
                seen += text;
                left = next;
            }
            CHECK((screens > 1) == (size.rows < 24));
            std::ranges::replace(seen, '\n', ' ');
            for (const std::string& text : notice)
                CHECK(seen.find(text.substr(0, 10)) != std::string::npos);
        }
    CHECK(notice_left({.notice = words_at(SurveyStep::begin), .notice_alone = true}, {40, 20})
              .empty());
}

TEST_CASE("with an open lead there is no number, and the reason in its place") {
    MadeLive live;
    live.take_many(20, {});
    const LiveView view =
        live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead});
    const std::string text = text_of(live_screen({.view = &view}, {40, 20}));
    CHECK(text.find("NO-VERDICT") != std::string::npos);
    CHECK(text.find("lead of the cell is open") != std::string::npos);
    CHECK(text.find("agcl/seawater, within") == std::string::npos);
    CHECK(text.find("1000") == std::string::npos);
}

TEST_CASE("before the first reading, and when the logger is lost, no number stands there") {
    const std::string text = text_of(live_screen({.message = "/dev/ttyUSB0: unplugged"}, {40, 20}));
    CHECK(text.starts_with("no reading yet\n/dev/ttyUSB0: unplugged\n"));
    CHECK(text.find('#') == std::string::npos);
    const std::string lost =
        text_of(live_screen({.lost = true, .message = "/dev/ttyUSB0: unplugged"}, {40, 20}));
    CHECK(lost.starts_with("NO READING: the logger is lost\n/dev/ttyUSB0: unplugged\n"));
}

TEST_CASE("whether the cord is in or out by now is asked where keys are told") {
    const LiveView view = full_view(-1020, 4);
    CHECK(live_screen({.view = &view, .asked = ShoreCord::plugged}, {40, 20}).back().text ==
          "p again: it is in; any other key: not");
    CHECK(live_screen({.view = &view, .asked = ShoreCord::unplugged}, {40, 20}).back().text ==
          "u again: it is out; any other key: not");
}

TEST_CASE("another scale is named beside its number, and the one it is judged on in a row") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::taken, Scale::cse);
    const LiveView view = live.take_many(12, {-1000});
    const std::string text = text_of(live_screen({.view = &view}, {80, 24}));
    CHECK(text.find("mV cse, within ") != std::string::npos);
    CHECK(text.find("judged  -1000 mV on agcl/seawater") != std::string::npos);
}

TEST_CASE("nothing is shown as good while AC is too high") {
    const LiveView view = full_view(-1020, 300);
    for (const ScreenLine& line : live_screen({.view = &view}, {80, 24}))
        if (line.text.starts_with("PROTECTED")) CHECK(line.tint == Tint::plain);
}

TEST_CASE("colour only says what words say") {
    MadeLive live;
    const LiveView view = live.take_many(310, {-1020});
    for (const ScreenLine& line : live_screen({.view = &view}, {80, 24})) {
        if (line.tint == Tint::good)
            CHECK((line.text.starts_with("PROTECTED") ||
                   line.text.find("settled: ") != std::string::npos));
        if (line.tint == Tint::bad) CHECK(line.text.empty());
    }
    CHECK(text_of(live_screen({.view = &view}, {80, 24})).find("PROTECTED\n") != std::string::npos);
}

TEST_CASE("a note that is being typed is seen at its end") {
    const LiveView view = full_view(-1020, 4);
    const auto lines = live_screen(
        {.view = &view, .typed = "a note that is longer than the line has room for"}, {40, 20});
    CHECK(lines.back().text.ends_with("the line has room for_"));
    CHECK(live_screen({.view = &view, .typed = "x"}, {40, 20}).back().text == "note: x_");
}

TEST_CASE("text is broken at blanks, and within words that are too long") {
    using Texts = std::vector<std::string>;
    CHECK(wrapped("one two three", 7) == Texts{"one two", "three"});
    CHECK(wrapped("", 7) == Texts{""});
    CHECK(wrapped("abcdefgh ij", 3) == Texts{"abc", "def", "gh", "ij"});
    CHECK(wrapped("\xC3\xA4\xC3\xB6\xC3\xBC x", 3) == Texts{"\xC3\xA4\xC3\xB6\xC3\xBC", "x"});
}

TEST_CASE("large digits stand beside each other, five rows of one width") {
    const auto rows = big_digits("-1.7 mV", "#");
    for (const std::string& row : rows)
        CHECK(row.size() == rows.front().size());
    CHECK(rows[0] == "       ##      ######");
    CHECK(rows[4] == "     ###### ##   ##  ");
    CHECK(big_digits("1", "\xE2\x96\x88")[1] == " \xE2\x96\x88\xE2\x96\x88\xE2\x96\x88  ");
}
