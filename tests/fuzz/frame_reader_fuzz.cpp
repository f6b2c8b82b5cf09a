// Any bytes at all into the frame reader. What it takes for a frame is one: of the length of its
// type, and built again from its content it is taken again.
#include "fuzz/input.h"

#include "wire/frame.h"

#include <array>
#include <vector>

using namespace quaycell;

namespace {

using Reader = wire::FrameReader<wire::max_content>;

void check_frame(const Reader& reader) {
    const std::uint8_t length = wire::payload_length(reader.type());
    fuzz::promise(length > 0 && length <= wire::max_payload);
    std::array<std::uint8_t, wire::max_frame> again{};
    std::copy_n(reader.payload(), length, wire::frame_payload(again.data()));
    const std::uint16_t size = wire::finish_frame(
        again.data(), static_cast<wire::MessageType>(reader.type()), reader.sequence(), length);
    Reader second;
    wire::FrameEvent event = wire::FrameEvent::none;
    for (std::uint16_t i = 0; i < size; ++i) {
        fuzz::promise(event == wire::FrameEvent::none);
        event = second.push(again[i]);
    }
    fuzz::promise(event == wire::FrameEvent::frame && second.type() == reader.type() &&
                  second.sequence() == reader.sequence() &&
                  std::equal(reader.payload(), reader.payload() + length, second.payload()));
}

/// The bytes of a line: pieces that are noise, and pieces that are stuffed and get a right
/// checksum, since no fuzzer finds one by itself.
std::vector<std::uint8_t> line_of(fuzz::Input input) {
    std::vector<std::uint8_t> line;
    while (!input.empty()) {
        const bool sealed = (input.byte() & 1) != 0;
        const auto piece = input.bytes(input.byte() % (wire::max_content + 1U));
        const bool as_frame = sealed && piece.size() >= wire::frame_head;
        if (!as_frame) {
            line.insert(line.end(), piece.begin(), piece.end());
            continue;
        }
        std::array<std::uint8_t, wire::max_frame> frame{};
        std::ranges::copy(piece.subspan(wire::frame_head), wire::frame_payload(frame.data()));
        const std::uint16_t size =
            wire::finish_frame(frame.data(), static_cast<wire::MessageType>(piece[0]), piece[1],
                               static_cast<std::uint8_t>(piece.size() - wire::frame_head));
        line.insert(line.end(), frame.begin(), frame.begin() + size);
    }
    return line;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    Reader large;
    constexpr std::uint8_t room = wire::frame_head + sizeof(wire::SetCalibration);
    wire::FrameReader<room> small; // as the logger's own, which has room for requests only
    for (const std::uint8_t byte : line_of({bytes, count})) {
        if (large.push(byte) == wire::FrameEvent::frame) check_frame(large);
        if (small.push(byte) == wire::FrameEvent::frame)
            fuzz::promise(wire::payload_length(small.type()) <= room - wire::frame_head);
    }
    // Whatever went before, the reader is in step again after a zero.
    large.push(0);
    std::array<std::uint8_t, wire::max_frame> whole{};
    const std::uint16_t size =
        wire::write_frame(whole.data(), wire::MessageType::status, 7, wire::StatusRequest{});
    wire::FrameEvent event = wire::FrameEvent::none;
    for (std::uint16_t i = 0; i < size; ++i)
        event = large.push(whole[i]);
    fuzz::promise(event == wire::FrameEvent::frame && large.sequence() == 7);
    return 0;
}
