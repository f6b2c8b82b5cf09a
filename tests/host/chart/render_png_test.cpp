#include "chart/render_png.h"

#include <algorithm>
#include <cairo.h>
#include <cstring>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Scene black_square() {
    return {50.8, 25.4, "", "", {{"", {Area{{25.4, 0, 25.4, 25.4}, {0, 0, 0}}}}}};
}

struct Image {
    int width;
    int height;
    std::vector<std::uint32_t> pixels; ///< 0x00RRGGBB
};

/// Reads a PNG back.
Image decoded(const std::string& png) {
    struct Source {
        const std::string& bytes;
        std::size_t at;
    } source{png, 0};
    const auto read = [](void* from, unsigned char* to, unsigned int count) {
        auto& bytes = *static_cast<Source*>(from);
        if (bytes.at + count > bytes.bytes.size()) return CAIRO_STATUS_READ_ERROR;
        std::memcpy(to, bytes.bytes.data() + bytes.at, count);
        bytes.at += count;
        return CAIRO_STATUS_SUCCESS;
    };
    cairo_surface_t* const surface = cairo_image_surface_create_from_png_stream(read, &source);
    Image image{
        cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), {}};
    const unsigned char* row = cairo_image_surface_get_data(surface);
    for (int y = 0; y < image.height; ++y, row += cairo_image_surface_get_stride(surface))
        for (int x = 0; x < image.width; ++x) {
            std::uint32_t pixel;
            std::memcpy(&pixel, row + sizeof pixel * static_cast<std::size_t>(x), sizeof pixel);
            image.pixels.push_back(pixel & 0xFFFFFF);
        }
    cairo_surface_destroy(surface);
    return image;
}

} // namespace

TEST_CASE("a PNG has the size asked for, and what is black is black") {
    const auto png = render_png(black_square(), 100);
    REQUIRE(png);
    CHECK(png->substr(0, 8) == "\x89PNG\r\n\x1a\n");
    const Image image = decoded(*png);
    CHECK(image.width == 200);
    CHECK(image.height == 100);
    CHECK(image.pixels[50] == 0xFFFFFF);
    CHECK(image.pixels[150] == 0x000000);
}

TEST_CASE("text and lines leave their mark, and the same scene gives the same bytes") {
    Scene scene{40, 20, "", "", {}};
    scene.groups.push_back({"",
                            {Lines{{{{2, 2}, {38, 2}}, {{20, 15}}}, {0, 0, 0}, 1},
                             Text{{2, 10}, "−870 mV <&", 4, Anchor::start, false, {0, 0, 0}}}});
    const std::string png = render_png(scene, 150).value();
    const Image image = decoded(png);
    const auto dark = [&image](int top, int bottom) {
        const auto row = [&image](int y) {
            return image.pixels.begin() + std::ptrdiff_t{y} * image.width;
        };
        return std::count_if(row(top), row(bottom),
                             [](std::uint32_t pixel) { return (pixel & 0xFF) < 128; });
    };
    CHECK(dark(0, 20) > 1000);  // the line
    CHECK(dark(30, 65) > 100);  // the text
    CHECK(dark(80, 100) > 10);  // the line of one point: a dot
    CHECK(dark(105, 118) == 0); // nothing below
    CHECK(render_png(scene, 150).value() == png);
}

TEST_CASE("a picture that no computer should be asked for is refused") {
    CHECK_FALSE(render_png(black_square(), 10));
    CHECK_FALSE(render_png(black_square(), 5000));
    const Scene wall{10000, 10000, "", "", {}};
    const auto refused = render_png(wall, 300);
    REQUIRE_FALSE(refused);
    CHECK_FALSE(refused.error().remedy.empty());
    CHECK_FALSE(render_png(Scene{0, 0, "", "", {}}, 100));
}
