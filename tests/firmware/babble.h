// A host that sends anything: whole requests with any content, near ones, and noise.
#pragma once

#include "wire/frame.h"

#include <cstdint>
#include <random>
#include <vector>

namespace quaycell::test {

class Babble {
  public:
    explicit Babble(uint32_t seed) : chance_(seed) {}

    std::vector<uint8_t> next() {
        std::vector<uint8_t> bytes = frame();
        switch (below(4)) {
        case 0: // near: a few bits are others
            for (uint32_t flips = 1 + below(3); flips != 0; --flips) {
                uint8_t& byte = bytes[below(static_cast<uint32_t>(bytes.size()))];
                byte = static_cast<uint8_t>(byte ^ (1U << below(8)));
            }
            break;
        case 1: // noise
            for (uint8_t& byte : bytes)
                byte = static_cast<uint8_t>(below(256));
            bytes.resize(1 + below(static_cast<uint32_t>(bytes.size())));
            break;
        default: // a request as it should be, whatever it asks for
            break;
        }
        return bytes;
    }

    uint32_t below(uint32_t end) { return static_cast<uint32_t>(chance_() % end); }

  private:
    /// A whole frame of any type, mostly one that is known, with any payload of its length.
    std::vector<uint8_t> frame() {
        const auto type = static_cast<uint8_t>(below(8) == 0 ? below(256) : 1 + below(0x10));
        const uint8_t told = wire::payload_length(type);
        const uint8_t length = told == 0 || told > 32 ? static_cast<uint8_t>(1 + below(32)) : told;
        std::vector<uint8_t> bytes(wire::max_frame);
        uint8_t* payload = wire::frame_payload(bytes.data());
        for (uint8_t i = 0; i < length; ++i)
            payload[i] = static_cast<uint8_t>(below(3) == 0 ? 0 : below(256));
        bytes.resize(wire::finish_frame(bytes.data(), static_cast<wire::MessageType>(type),
                                        static_cast<uint8_t>(below(256)), length));
        return bytes;
    }

    std::mt19937 chance_;
};

} // namespace quaycell::test
