#include "series/level_noise.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>
#include <vector>

using namespace quaycell;

namespace {

/// Values of standard deviation 2, each of which resembles the one before by so much.
std::vector<double> values(double likeness) {
    std::mt19937 engine(3);
    std::normal_distribution<double> noise(0, 2 * std::sqrt(1 - likeness * likeness));
    std::vector<double> made{0};
    for (int i = 0; i < 20'000; ++i)
        made.push_back(likeness * made.back() + noise(engine));
    return made;
}

doctest::Approx about(double value) {
    return doctest::Approx(value).epsilon(0.05);
}

} // namespace

TEST_CASE("independent noise is averaged away") {
    const LevelNoise noise(values(0), 0);
    CHECK(noise.of_difference(1, 1) == about(2 * std::sqrt(2.0)));
    CHECK(noise.of_difference(8, 8) == about(2 * std::sqrt(2.0 / 8)));
    CHECK(noise.of_difference(2, 8) == about(2 * std::sqrt(1.0 / 2 + 1.0 / 8)));
}

TEST_CASE("noise that resembles itself is not") {
    // Of 8 values with a likeness of 0.95 the mean hardly varies less than one of them, and its
    // bends show no more than how it wanders within four such means.
    const LevelNoise noise(values(0.95), 0);
    CHECK(noise.of_difference(8, 8) > 4 * noise.of_difference(1, 1) / std::sqrt(8.0));
}

TEST_CASE("neither a slope nor steps here and there count as noise") {
    std::vector<double> sloped = values(0);
    for (std::size_t i = 0; i < sloped.size(); ++i)
        sloped[i] += 3.0 * static_cast<double>(i) + (i / 200 % 2 == 0 ? 60 : 0);
    const LevelNoise noise(sloped, 0);
    CHECK(noise.of_difference(8, 8) < 1.5 * 2 * std::sqrt(2.0 / 8));
}

TEST_CASE("there is never less noise than is assumed, nor any without values") {
    CHECK(LevelNoise(std::vector<double>(100, -900), 0.5).of_difference(4, 4) ==
          doctest::Approx(0.5 * std::sqrt(2.0 / 4)));
    CHECK(LevelNoise({}, 0).of_difference(1, 1) == 0);
}

TEST_CASE(
    "in a short record a step counts as no noise, and longer levels as noisy as shorter ones") {
    for (const std::size_t count : {30U, 45U, 61U, 90U}) {
        std::vector<double> stepped = values(0);
        stepped.resize(count);
        for (std::size_t i = count / 2; i < count; ++i)
            stepped[i] += 60;
        const LevelNoise noise(stepped, 1);
        CHECK(noise.of_difference(8, 8) < 4);
        CHECK(noise.of_difference(8, 8) >= std::sqrt(2.0 / 8));
    }
}

TEST_CASE("the tail tells heavy extremes from normal ones, whatever steps lie beneath") {
    std::mt19937 engine(5);
    std::normal_distribution<double> normal(0, 2);
    std::student_t_distribution<double> heavy(3);
    std::vector<double> calm, wild, stepped;
    for (int i = 0; i < 20'000; ++i) {
        calm.push_back(normal(engine));
        wild.push_back(2 * heavy(engine));
        stepped.push_back(normal(engine) + (i / 4 % 2 == 0 ? 80 : 0));
    }
    CHECK(tail_of(calm) < 1.1);
    CHECK(tail_of(stepped) < 1.1);
    // Student's t with 3 degrees of freedom: its quantile at 0.9995 is 12.92 and its quartile 0.765
    // (tables); normal 3.29 and 0.674. The neighbours' part in both is about the same.
    CHECK(tail_of(wild) == doctest::Approx(12.92 / 0.765 / (3.29 / 0.674)).epsilon(0.3));
    CHECK(tail_of(std::vector<double>(5000, -900)) == 1);
    CHECK(tail_of({}) == 1);
}
