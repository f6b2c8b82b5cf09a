// A line that Asio reads and writes: what a serial port and a bridge have in common. Only the two
// files that open them include this; Asio costs half a minute to compile.
#pragma once

#include "link/port_speed.h"
#include "link/transport.h"

#include <boost/asio/buffer.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/write.hpp>

namespace quaycell {

/// `Stream` is Asio's: a descriptor or a socket, opened on `context`.
template <typename Stream>
class AsioTransport final : public Transport {
  public:
    /// Says why the line of that name broke, from the errno of reading or writing; 0 for its end.
    using WhyBroken = Error (*)(const std::string& name, int error_number);

    AsioTransport(std::string name, std::unique_ptr<boost::asio::io_context> context, Stream stream,
                  WhyBroken why_broken)
        : name_(std::move(name)), context_(std::move(context)), stream_(std::move(stream)),
          why_broken_(why_broken) {}

    Result<std::size_t> read_some(std::span<std::uint8_t> into, TimePoint deadline) override {
        boost::system::error_code outcome = boost::asio::error::would_block;
        std::size_t count = 0;
        stream_.async_read_some(boost::asio::buffer(into.data(), into.size()),
                                [&](const boost::system::error_code& code, std::size_t read) {
                                    outcome = code;
                                    count = read;
                                });
        context_->restart();
        context_->run_until(deadline);
        if (outcome == boost::asio::error::would_block) {
            // Bytes that came between the deadline and this line still arrive through the handler.
            stream_.cancel();
            context_->restart();
            context_->run();
        }
        if (outcome == boost::asio::error::operation_aborted) return std::size_t{0};
        if (outcome == boost::asio::error::eof) return why_broken_(name_, 0);
        if (outcome) return why_broken_(name_, outcome.value());
        return count;
    }

    Result<Done> write_all(std::span<const std::uint8_t> bytes) override {
        boost::system::error_code outcome;
        boost::asio::write(stream_, boost::asio::buffer(bytes.data(), bytes.size()), outcome);
        if (outcome) return why_broken_(name_, outcome.value());
        return Done{};
    }

    bool set_baud(std::uint32_t baud) override {
        return set_port_speed(stream_.native_handle(), baud);
    }

    const std::string& name() const override { return name_; }

  private:
    std::string name_;
    std::unique_ptr<boost::asio::io_context> context_;
    Stream stream_;
    WhyBroken why_broken_;
};

} // namespace quaycell
