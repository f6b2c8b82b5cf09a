// The only file that sees Beast.
#include "web/server.h"

#include "web/connections.h"
#include "web/rate_limit.h"

#include <algorithm>
#include <atomic>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/websocket.hpp>
#include <fmt/format.h>
#include <optional>

namespace quaycell::web {

namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
namespace websocket = beast::websocket;
using Tcp = asio::ip::tcp;
using Code = beast::error_code;
using HttpRequest = http::request<http::string_body>;

std::string host_text(const Tcp::endpoint& endpoint) {
    auto address = endpoint.address();
    if (address.is_v6() && address.to_v6().is_v4_mapped())
        address = asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6());
    return address.is_v6() ? fmt::format("[{}]", address.to_string()) : address.to_string();
}

using Text = std::shared_ptr<const std::string>;

/// A page that is told every reading. It says nothing itself.
class LivePage : public std::enable_shared_from_this<LivePage> {
  public:
    LivePage(beast::tcp_stream stream, std::shared_ptr<Counted> counted, const Bounds& bounds)
        : counted_(std::move(counted)), bounds_(bounds), socket_(std::move(stream)),
          timer_(socket_.get_executor()) {}

    void accept(const HttpRequest& request, const std::function<Text()>& greeting) {
        beast::get_lowest_layer(socket_).expires_never();
        socket_.set_option(
            websocket::stream_base::timeout{bounds_.reading, 3 * bounds_.reading, true});
        socket_.read_message_max(buffer_.max_size());
        socket_.async_accept(request, [self = shared_from_this(), greeting](Code error) {
            if (error) return;
            self->accepted_ = true;
            self->listen();
            self->tell(greeting());
        });
    }

    /// A page that has not taken the last one yet gets this one next, and none between.
    void tell(const Text& text) {
        if (!accepted_) return;
        next_ = text;
        if (!writing_) write();
    }

  private:
    void listen() {
        socket_.async_read(buffer_, [self = shared_from_this()](Code error, std::size_t) {
            if (!error) self->drop(); // the page has nothing to say
        });
    }

    void write() {
        writing_ = std::move(next_);
        next_.reset();
        timer_.expires_after(bounds_.reading);
        timer_.async_wait([self = shared_from_this()](Code error) {
            if (!error) self->drop();
        });
        socket_.async_write(asio::buffer(*writing_),
                            [self = shared_from_this()](Code error, std::size_t) {
                                self->timer_.cancel();
                                self->writing_.reset();
                                if (!error && self->next_) self->write();
                            });
    }

    void drop() {
        Code ignored;
        beast::get_lowest_layer(socket_).socket().close(ignored);
    }

    static constexpr std::size_t longest_message = 256;
    std::shared_ptr<Counted> counted_;
    Bounds bounds_;
    websocket::stream<beast::tcp_stream> socket_;
    asio::steady_timer timer_;
    beast::flat_static_buffer<longest_message> buffer_;
    bool accepted_ = false;
    Text writing_;
    Text next_;
};

/// What all connections share.
struct Hub {
    Hub(Site of_site, const Bounds& within) : site(std::move(of_site)), bounds(within) {}

    /// Makes a page of a connection that asks for it; false where there are enough.
    bool open_page(beast::tcp_stream& stream, const std::shared_ptr<Counted>& counted,
                   const HttpRequest& request) {
        std::erase_if(pages, [](const auto& page) { return page.expired(); });
        if (pages.size() >= bounds.live_pages) return false;
        const auto page = std::make_shared<LivePage>(std::move(stream), counted, bounds);
        pages.push_back(page);
        page->accept(request, greeting);
        return true;
    }

    Site site;
    Bounds bounds;
    std::function<Text()> greeting;
    RateLimit rate_limit;
    std::vector<std::weak_ptr<LivePage>> pages;
    int waiting_work = 0;
    /// For what takes a while; ends before the network does.
    std::unique_ptr<asio::thread_pool> worker = std::make_unique<asio::thread_pool>(1);
};

/// A connection that asks and is answered, one request after another.
class Caller : public std::enable_shared_from_this<Caller> {
  public:
    Caller(Tcp::socket socket, std::string own_address, std::shared_ptr<Counted> counted, Hub& hub)
        : stream_(std::move(socket)), own_address_(std::move(own_address)),
          counted_(std::move(counted)), hub_(hub) {}

    void read() {
        parser_.emplace();
        parser_->header_limit(hub_.bounds.header_bytes);
        parser_->body_limit(hub_.bounds.body_bytes);
        stream_.expires_after(hub_.bounds.request);
        http::async_read(
            stream_, buffer_, *parser_,
            [self = shared_from_this()](Code error, std::size_t) { self->was_read(error); });
    }

  private:
    void was_read(Code error) {
        if (error == http::error::end_of_stream) return close();
        if (error && error.category() == make_error_code(http::error::end_of_stream).category()) {
            keep_alive_ = false;
            return write(words(Status::bad_request, "This is no request, or it is too long."),
                         false);
        }
        if (error) return close();
        const HttpRequest& request = parser_->get();
        keep_alive_ = request.keep_alive();
        const bool head_only = request.method() == http::verb::head;
        if (!hub_.rate_limit.allows(counted_->address(), RateLimit::Clock::now()))
            return write(words(Status::too_many_requests, "Too many requests; wait a little."),
                         head_only);
        const bool upgrades = websocket::is_upgrade(request);
        Answer answer = hub_.site.answer(as_values(request), upgrades);
        if (auto* response = std::get_if<Response>(&answer))
            return write(std::move(*response), head_only);
        if (auto* work = std::get_if<Work>(&answer)) return do_work(std::move(*work), head_only);
        if (!hub_.open_page(stream_, counted_, request))
            write(words(Status::unavailable, "Too many pages are open; close some."), false);
    }

    Request as_values(const HttpRequest& request) const {
        Request values{std::string(request.method_string()),
                       std::string(request.target()),
                       {},
                       request.body(),
                       own_address_};
        for (const auto& field : request)
            values.headers.push_back(
                {std::string(field.name_string()), std::string(field.value())});
        return values;
    }

    void do_work(Work work, bool head_only) {
        if (hub_.waiting_work >= hub_.bounds.waiting_work)
            return write(words(Status::unavailable, "Busy with other requests; try again soon."),
                         head_only);
        ++hub_.waiting_work;
        stream_.expires_never();
        asio::post(*hub_.worker,
                   [self = shared_from_this(), work = std::move(work), head_only]() mutable {
                       Response response = work();
                       const auto network = self->stream_.get_executor();
                       // The last to know of a connection must not be this thread.
                       asio::post(network, [self = std::move(self), response = std::move(response),
                                            head_only]() mutable {
                           --self->hub_.waiting_work;
                           self->write(std::move(response), head_only);
                       });
                   });
    }

    void write(Response response, bool head_only) {
        response_ = {static_cast<http::status>(response.status), http_version};
        for (const Header& header : headers_of_every_answer())
            response_.set(header.name, header.value);
        response_.set(http::field::content_type, response.content_type);
        if (!response.file_name.empty())
            response_.set(http::field::content_disposition,
                          fmt::format("attachment; filename=\"{}\"", response.file_name));
        response_.content_length(response.body.size());
        response_.keep_alive(keep_alive_);
        if (!head_only) response_.body() = std::move(response.body);
        stream_.expires_after(hub_.bounds.answer);
        serializer_.emplace(response_);
        const auto written = [self = shared_from_this()](Code error, std::size_t) {
            self->serializer_.reset();
            if (error || !self->keep_alive_) return self->close();
            self->read();
        };
        if (head_only)
            http::async_write_header(stream_, *serializer_, written);
        else
            http::async_write(stream_, *serializer_, written);
    }

    void close() {
        Code ignored;
        stream_.socket().shutdown(Tcp::socket::shutdown_send, ignored);
    }

    static constexpr unsigned http_version = 11;

    beast::tcp_stream stream_;
    std::string own_address_;
    std::shared_ptr<Counted> counted_;
    Hub& hub_;
    beast::flat_buffer buffer_;
    std::optional<http::request_parser<http::string_body>> parser_;
    http::response<http::string_body> response_;
    std::optional<http::response_serializer<http::string_body>> serializer_;
    bool keep_alive_ = true;
};

/// Why an address cannot be listened at.
Error refusal(const Place& place, Code error) {
    const std::string where = fmt::format("{}:{}", place.address, place.port);
    if (error == asio::error::address_in_use)
        return {ErrorCode::in_use, "another program listens there already", where,
                "End it, or name another port with --listen ADDRESS:PORT."};
    if (error == asio::error::access_denied)
        return {ErrorCode::no_permission, "this port is not for everybody", where,
                "Take one above 1023."};
    return {ErrorCode::wrong_usage, "this computer cannot be reached by that address", where,
            "Name one of its own, as `ip address` lists them, or 0.0.0.0 for all of them."};
}

} // namespace

struct Server::Parts {
    Parts(Site site, LiveFeed& of_feed, const Bounds& bounds)
        : hub(std::move(site), bounds), feed(of_feed),
          connections(std::make_shared<Connections>(bounds.connections,
                                                    bounds.connections_of_one_address)) {
        hub.greeting = [&source = feed] {
            return std::make_shared<const std::string>(source.greeting());
        };
        feed.on_news([this] {
            if (!has_news.exchange(true)) asio::post(io, [this] { tell_pages(); });
        });
    }
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;
    ~Parts() {
        feed.on_news({});
        hub.worker.reset();
    }

    void accept() {
        acceptor.async_accept([this](Code error, Tcp::socket socket) {
            if (!error) {
                meet(std::move(socket));
                return accept();
            }
            // Out of descriptors, for instance: whoever waits is met a little later.
            retry.expires_after(std::chrono::milliseconds{100});
            retry.async_wait([this](Code) { accept(); });
        });
    }

    void meet(Tcp::socket socket) {
        Code error;
        const auto remote = socket.remote_endpoint(error);
        if (error) return;
        const auto own = socket.local_endpoint(error);
        const std::string address = host_text(remote);
        if (error || !connections->take(address)) return;
        socket.set_option(Tcp::no_delay(true), error);
        std::make_shared<Caller>(std::move(socket),
                                 fmt::format("{}:{}", host_text(own), own.port()),
                                 std::make_shared<Counted>(connections, address), hub)
            ->read();
    }

    void tell_pages() {
        has_news = false;
        const Text text = std::make_shared<const std::string>(feed.newest());
        for (const auto& weak : hub.pages)
            if (const auto page = weak.lock()) page->tell(text);
    }

    void watch(const std::function<bool()>& stop) {
        timer.expires_after(std::chrono::milliseconds{200});
        timer.async_wait([this, &stop](Code) {
            if (stop()) return io.stop();
            watch(stop);
        });
    }

    // The network is gone before the hub is, to which its connections refer.
    Hub hub;
    LiveFeed& feed;
    std::shared_ptr<Connections> connections;
    std::atomic<bool> has_news{false}; ///< told, and not passed on yet
    asio::io_context io{1};
    Tcp::acceptor acceptor{io};
    asio::steady_timer timer{io};
    asio::steady_timer retry{io};
};

Server::Server(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Server::Server(Server&&) noexcept = default;
Server::~Server() = default;

Result<Server> Server::open(const Place& place, Site site, LiveFeed& feed, const Bounds& bounds) {
    Code error;
    const auto address = asio::ip::make_address(place.address, error);
    if (error)
        return Error{ErrorCode::wrong_usage, "this is not an address in numbers", place.address,
                     "Write it like 192.168.1.20, or 0.0.0.0 for all of this computer's."};
    auto parts = std::make_unique<Parts>(std::move(site), feed, bounds);
    const Tcp::endpoint endpoint(address, place.port);
    Tcp::acceptor& acceptor = parts->acceptor;
    acceptor.open(endpoint.protocol(), error);
    if (!error) acceptor.set_option(Tcp::acceptor::reuse_address(true), error);
    if (!error) acceptor.bind(endpoint, error);
    if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error) return refusal(place, error);
    return Server(std::move(parts));
}

std::uint16_t Server::port() const {
    return parts_->acceptor.local_endpoint().port();
}

void Server::run(const std::function<bool()>& stop) {
    parts_->accept();
    parts_->watch(stop);
    parts_->io.run();
}

} // namespace quaycell::web
