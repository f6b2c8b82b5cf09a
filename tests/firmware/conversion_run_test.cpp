#include "logger/conversion_run.h"

#include "fake_board.h"

#include <doctest/doctest.h>

using namespace quaycell;
using logger::Conversion;
using logger::Input;

TEST_CASE("a conversion that is under way is asked for only when its pin moves or it is late") {
    test::FakeConverter converter;
    logger::ConversionRun<test::FakeConverter> run(converter);
    int16_t code = 0;
    run.start(Input::cell_a, 100);
    CHECK(run.poll(false, 100, code) == Conversion::running);
    CHECK(run.poll(true, 100, code) == Conversion::running); // the pin moved as it started
    converter.finish();
    CHECK(run.poll(false, 101, code) == Conversion::running);
    CHECK(run.poll(true, 101, code) == Conversion::done);
    CHECK(code == 14400);
    CHECK_FALSE(run.running());
}

TEST_CASE("a conversion whose pin never moved is still read when it is late or wanted") {
    test::FakeConverter converter;
    logger::ConversionRun<test::FakeConverter> run(converter);
    int16_t code = 0;
    run.start(Input::zero, 100);
    converter.finish();
    SUBCASE("late") {
        CHECK(run.poll(false, 102, code) == Conversion::done);
    }
    SUBCASE("wanted for the next reading") {
        CHECK(run.poll(true, 101, code) == Conversion::done);
    }
    CHECK(code == 2);
}

TEST_CASE("a conversion that does not end is given up, and one that did not start at once") {
    test::FakeConverter converter;
    logger::ConversionRun<test::FakeConverter> run(converter);
    int16_t code = 0;
    run.start(Input::cell_a, 100);
    CHECK(run.poll(false, 101, code) == Conversion::running);
    CHECK(run.poll(false, 102, code) == Conversion::failed);
    CHECK_FALSE(run.running());
    converter.answers = false;
    run.start(Input::cell_a, 103);
    CHECK(run.poll(false, 103, code) == Conversion::failed);
}

TEST_CASE("one that did not end the last is given up a second earlier, until it ends one") {
    test::FakeConverter converter;
    converter.silent = true;
    logger::ConversionRun<test::FakeConverter> run(converter);
    int16_t code = 0;
    run.start(Input::cell_a, 100);
    CHECK(run.poll(true, 101, code) == Conversion::running);
    CHECK(run.poll(true, 102, code) == Conversion::failed);
    CHECK(run.silent());
    run.start(Input::cell_a, 102);
    CHECK(run.poll(true, 103, code) == Conversion::failed);
    converter.silent = false;
    run.start(Input::cell_a, 103);
    converter.finish();
    CHECK(run.poll(true, 103, code) == Conversion::done);
    CHECK_FALSE(run.silent());
    run.start(Input::cell_a, 104);
    CHECK(run.poll(true, 105, code) == Conversion::running);
}

TEST_CASE("a conversion that somebody waits for is not given up and begun anew in its middle") {
    test::FakeConverter converter;
    logger::ConversionRun<test::FakeConverter> run(converter);
    int16_t code = 0;
    run.start(Input::cell_a, 100); // at the end of second 100
    CHECK(run.poll(true, 101, code) == Conversion::running);
    CHECK(run.running());
    converter.finish();
    CHECK(run.poll(true, 101, code) == Conversion::done);
}
