#include "electrode/budget_terms.h"

#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

namespace {

const std::string line = "value_mv = 7\ndistribution = \"normal\"\nkind = \"systematic\"\n"
                         "source = \"our own\"\n";

Error refusal(const std::string& text) {
    const auto terms = parse_budget(text, "own.toml");
    REQUIRE_FALSE(terms);
    CHECK(terms.error().code == ErrorCode::wrong_input);
    return terms.error();
}

} // namespace

TEST_CASE("The built-in budget reads back, and every source of error says where it comes from") {
    REQUIRE(parse_budget(default_budget_file(), "budget.toml"));
    for (std::size_t i = 0; i < term_count; ++i) {
        const TermValue& value = default_budget_terms().of(static_cast<Term>(i));
        CHECK(value.value > 0);
        CHECK_FALSE(value.source.empty());
    }
}

TEST_CASE("A file that names one source of error leaves the others as they are built in") {
    const auto terms = parse_budget("[electronics]\n" + line, "own.toml");
    REQUIRE(terms);
    CHECK(terms->of(Term::electronics).value == 7);
    CHECK(terms->of(Term::electronics).distribution == Distribution::normal);
    CHECK(terms->of(Term::electronics).source == "our own");
    CHECK(terms->of(Term::contact).value == default_budget_terms().of(Term::contact).value);
    CHECK(parse_budget("", "own.toml"));
}

TEST_CASE("A source of error or a key that nobody knows is refused with line and known keys") {
    const Error source = refusal("[electronics]\n" + line + "[electronic]\n" + line);
    CHECK(source.where == "own.toml:6");
    CHECK(source.what == "electronic: no such key");
    CHECK(source.remedy.find("electronics") != std::string::npos);

    const Error key = refusal("[electronics]\n" + line + "colour = \"red\"\n");
    CHECK(key.where == "own.toml:6");
    CHECK(key.what == "[electronics] colour: no such key");

    // The unit is part of the key: a value in another one is not taken for it.
    CHECK(refusal("[temperature]\n" + line).what == "[temperature] value_mv: no such key");
}

TEST_CASE("A distribution or a kind that does not exist is refused with line and key") {
    const Error distribution =
        refusal("[contact]\nvalue_mv = 1\ndistribution = \"triangular\"\nkind = \"random\"\n"
                "source = \"x\"\n");
    CHECK(distribution.where == "own.toml:3");
    CHECK(distribution.what == "[contact] distribution: there is no distribution \"triangular\"");
    CHECK(distribution.remedy == "Write \"rectangular\" or \"normal\".");

    const Error kind =
        refusal("[contact]\nvalue_mv = 1\ndistribution = \"normal\"\nkind = \"odd\"\n"
                "source = \"x\"\n");
    CHECK(kind.where == "own.toml:4");
    CHECK(kind.what == "[contact] kind: there is no kind of error \"odd\"");
}

TEST_CASE("A value that is missing, negative, no number or beyond all sense is refused") {
    const std::string rest = "distribution = \"normal\"\nkind = \"random\"\nsource = \"x\"\n";
    CHECK(refusal("[contact]\n" + rest).what == "[contact] value_mv: missing");
    for (const char* value : {"-1", "nan", "inf", "1001", "\"one\"", "[1, 2]"}) {
        CAPTURE(value);
        const Error error = refusal(std::string("[contact]\nvalue_mv = ") + value + "\n" + rest);
        CHECK(error.where == "own.toml:2");
        CHECK(error.what.find("[contact] value_mv") == 0);
    }
    CHECK(refusal("[contact]\nvalue_mv = 1\ndistribution = \"normal\"\nkind = \"random\"\n").what ==
          "[contact] source: missing");
    CHECK(refusal("contact = 1\n").what == "contact: a table is expected here");
}
