#include "series/csv.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

using Rows = std::vector<std::vector<std::string>>;

Rows read_all(std::string_view text) {
    CsvReader reader(text);
    Rows rows;
    std::vector<CsvField> fields;
    while (reader.next(fields).value()) {
        rows.emplace_back();
        for (const CsvField& field : fields)
            rows.back().emplace_back(field.text);
    }
    return rows;
}

Error complaint(std::string_view text) {
    CsvReader reader(text);
    std::vector<CsvField> fields;
    while (true) {
        const auto more = reader.next(fields);
        if (!more) return more.error();
        REQUIRE(*more);
    }
}

} // namespace

TEST_CASE("fields are split at commas and lines at CRLF or LF") {
    CHECK(read_all("a,b\r\nc,d\ne,") == Rows{{"a", "b"}, {"c", "d"}, {"e", ""}});
    CHECK(read_all("") == Rows{});
    CHECK(read_all("a") == Rows{{"a"}});
    CHECK(read_all(",") == Rows{{"", ""}});
}

TEST_CASE("quotes may hold commas, quotes and line breaks") {
    CHECK(read_all("\"a,b\",\"say \"\"no\"\"\"\r\n\"two\r\nlines\",x\r\n") ==
          Rows{{"a,b", "say \"no\""}, {"two\r\nlines", "x"}});
    CHECK(read_all("\"\",\"\"") == Rows{{"", ""}});
}

TEST_CASE("empty lines and a byte order mark are passed over") {
    CHECK(read_all("\xEF\xBB\xBF"
                   "a,b\r\n\r\nc,d\r\n\r\n") == Rows{{"a", "b"}, {"c", "d"}});
}

TEST_CASE("a field knows its line and column, also after a quoted line break") {
    CsvReader reader("\"a\nb\",c\nd,e");
    std::vector<CsvField> fields;
    REQUIRE(reader.next(fields).value());
    CHECK(fields[0].line == 1);
    CHECK(fields[1].line == 2);
    CHECK(fields[1].column == 4);
    REQUIRE(reader.next(fields).value());
    CHECK(fields[1].line == 3);
    CHECK(fields[1].column == 3);
}

TEST_CASE("a quote out of place is refused where it stands") {
    CHECK(complaint("a,b\nc,d\"e").where == "2:3");
    CHECK(complaint("a,\"b\"c").where == "1:3");
    CHECK(complaint("a,b\n\"never closed").where == "2:1");
}
