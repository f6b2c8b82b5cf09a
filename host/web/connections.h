// How many connections are open, in all and of each address.
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <utility>

namespace quaycell::web {

class Connections {
  public:
    Connections(std::size_t most, std::size_t most_of_one)
        : most_(most), most_of_one_(most_of_one) {}

    /// False where there are enough.
    bool take(const std::string& address);
    void give_back(const std::string& address);

  private:
    std::size_t most_;
    std::size_t most_of_one_;
    std::size_t all_ = 0;
    std::map<std::string, std::size_t> by_address_;
};

/// A connection that was taken, and counts for as long as this lives.
class Counted {
  public:
    Counted(std::shared_ptr<Connections> connections, std::string address)
        : connections_(std::move(connections)), address_(std::move(address)) {}
    Counted(const Counted&) = delete;
    Counted& operator=(const Counted&) = delete;
    ~Counted() { connections_->give_back(address_); }

    const std::string& address() const { return address_; }

  private:
    std::shared_ptr<Connections> connections_;
    std::string address_;
};

} // namespace quaycell::web
