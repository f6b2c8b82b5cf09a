// The pseudo-terminal that stands for the cable.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <vector>

namespace quaycell::bench {

class Pty {
  public:
    /// Opens one, sets it raw and makes `link` a symbolic link to its slave side, in the place of a
    /// link that a former bench left. Throws WrongInput where `link` is something else or cannot
    /// be.
    explicit Pty(std::filesystem::path link);
    ~Pty();
    Pty(const Pty&) = delete;
    Pty& operator=(const Pty&) = delete;

    /// Whether somebody has the slave side open.
    bool attached() const;
    /// The speed that the host has set.
    std::uint32_t baud() const;
    /// What has arrived; nothing when there is nothing.
    std::vector<std::uint8_t> receive();
    /// Sends as much as the other side has room for; returns how much.
    std::size_t send(std::span<const std::uint8_t> bytes);
    /// Forgets what is on its way in both directions.
    void flush();
    int descriptor() const { return master_; }

  private:
    std::filesystem::path link_;
    std::filesystem::path slave_;
    int master_;
};

} // namespace quaycell::bench
