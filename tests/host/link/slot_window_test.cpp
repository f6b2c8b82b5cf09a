#include "link/slot_window.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

SequencedRecord slot(std::uint32_t sequence) {
    return {sequence, RecordBytes{static_cast<std::uint8_t>(sequence)}};
}

} // namespace

TEST_CASE("slots are handed on in order, whatever order they come in") {
    SlotWindow window({10, 3});
    CHECK(window.take(slot(12)));
    CHECK_FALSE(window.next_in_order());
    CHECK(window.take(slot(10)));
    CHECK(window.next_in_order()->sequence == 10);
    CHECK_FALSE(window.next_in_order());
    CHECK(window.take(slot(11)));
    CHECK(window.next_in_order()->sequence == 11);
    CHECK(window.next_in_order()->sequence == 12);
    CHECK_FALSE(window.next_in_order());
}

TEST_CASE("a slot that comes twice or was not wanted counts for nothing") {
    SlotWindow window({10, 3});
    CHECK(window.take(slot(10)));
    CHECK_FALSE(window.take(slot(10)));
    CHECK_FALSE(window.take(slot(9)));
    CHECK_FALSE(window.take(slot(13)));
}

TEST_CASE("only the lost slots are still missing") {
    SlotWindow window({10, 6});
    CHECK(*window.first_missing() == SequenceRange{10, 6});
    for (const std::uint32_t sequence : {10U, 13U, 15U})
        window.take(slot(sequence));
    CHECK(*window.first_missing() == SequenceRange{11, 2});
    window.take(slot(11));
    window.take(slot(12));
    CHECK(*window.first_missing() == SequenceRange{14, 1});
    window.take(slot(14));
    CHECK_FALSE(window.first_missing());
}

TEST_CASE("a log that ends early leaves nothing missing behind its end") {
    SlotWindow window({10, 6});
    window.take(slot(10));
    window.end_before(12);
    CHECK(*window.first_missing() == SequenceRange{11, 1});
    window.end_before(5);
    CHECK(window.count() == 0);
}

TEST_CASE("a window across the wrap of the sequence numbers") {
    SlotWindow window({0xFFFFFFFE, 4});
    CHECK(window.take(slot(0xFFFFFFFF)));
    CHECK(window.take(slot(1)));
    CHECK(*window.first_missing() == SequenceRange{0xFFFFFFFE, 1});
    window.take(slot(0xFFFFFFFE));
    CHECK(*window.first_missing() == SequenceRange{0, 1});
}
