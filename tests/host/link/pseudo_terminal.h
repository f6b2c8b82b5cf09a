// Both ends of a pseudo-terminal: the test plays the logger at the near one.
#pragma once

#include "link/fake_logger.h"

#include <cstdlib>
#include <fcntl.h>
#include <stdexcept>
#include <string>
#include <unistd.h>

namespace quaycell::test {

class PseudoTerminal {
  public:
    PseudoTerminal() : near_(posix_openpt(O_RDWR | O_NOCTTY)) {
        if (near_ < 0 || grantpt(near_) != 0 || unlockpt(near_) != 0)
            throw std::runtime_error("no pseudo-terminal");
        path_ = ptsname(near_);
    }
    ~PseudoTerminal() { unplug(); }
    PseudoTerminal(const PseudoTerminal&) = delete;
    PseudoTerminal& operator=(const PseudoTerminal&) = delete;

    const std::string& path() const { return path_; }

    void say(std::span<const std::uint8_t> bytes) const {
        if (::write(near_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()))
            throw std::runtime_error("pseudo-terminal full");
    }

    /// What the program sent; waits for at least a byte. Empty once the program has closed its end.
    Bytes hear() const {
        Bytes bytes(4096);
        const ssize_t count = ::read(near_, bytes.data(), bytes.size());
        bytes.resize(count < 0 ? 0 : static_cast<std::size_t>(count));
        return bytes;
    }

    void unplug() {
        if (near_ >= 0) ::close(near_);
        near_ = -1;
    }

  private:
    int near_;
    std::string path_;
};

} // namespace quaycell::test
