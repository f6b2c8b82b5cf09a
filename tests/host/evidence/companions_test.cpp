#include "evidence/companions.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Attachment of_size(const char* name, std::size_t bytes) {
    return {name, "application/octet-stream", "", std::string(bytes, 'x')};
}

} // namespace

TEST_CASE("what fits goes inside") {
    const Carried all = carried({of_size("a", 40), of_size("b", 60)}, 100);
    CHECK(all.inside.size() == 2);
    CHECK(all.beside.empty());
}

TEST_CASE("the largest goes beside, and only as many as must") {
    const Carried some = carried({of_size("a", 40), of_size("b", 61), of_size("c", 1)}, 100);
    REQUIRE(some.beside.size() == 1);
    CHECK(some.beside[0].name == "b");
    CHECK(some.inside.size() == 2);
    CHECK(carried({of_size("a", 101)}, 100).inside.empty());
}

TEST_CASE("the folder of the companions is called after their report") {
    CHECK(evidence_folder("tern.pdf") == "tern.pdf-evidence");
    CHECK(evidence_folder("2026/my.boat.pdf") == "2026/my.boat.pdf-evidence");
    CHECK(former_evidence_folder("2026/my.boat.pdf") == "2026/my.boat-evidence");
}
