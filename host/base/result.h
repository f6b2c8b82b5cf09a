// Results that carry a cause, a place and a remedy across modules. Exceptions are for bugs.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <variant>

namespace quaycell {

enum class ErrorCode {
    wrong_usage,  ///< the command line asks for something that cannot be
    wrong_input,  ///< a file or a value given by the user is not what it should be
    out_of_range, ///< a value outside the range in which the answer is known
    not_found,
    no_permission,
    in_use,
    silent,        ///< the port is open but nothing answers
    no_frames,     ///< bytes arrive but no valid frame
    wrong_version, ///< one side speaks an older contract
    unplugged,
    refused, ///< the logger or the program declines, for a reason it names
    damaged,
    interrupted, ///< the user ended it
    failed,      ///< the operating system says no
};

struct Error {
    ErrorCode code;
    std::string what;   ///< the cause, in plain words
    std::string where;  ///< file and line, port, option; may be empty
    std::string remedy; ///< what to do about it; may be empty
};

/// "WHERE: WHAT. REMEDY", for a person.
std::string to_text(const Error& error);

/// 2 where the user's command line or file is wrong, 1 where it could not be done.
int exit_code(const Error& error);

/// A value or the Error that stands in its place. Asking for the one that is not there is a bug and
/// throws std::logic_error.
template <typename T>
class [[nodiscard]] Result {
  public:
    Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : content_(std::in_place_index<1>, std::move(error)) {}

    explicit operator bool() const { return content_.index() == 0; }

    const T& value() const& {
        require(0);
        return std::get<0>(content_);
    }
    T& value() & {
        require(0);
        return std::get<0>(content_);
    }
    T value() && {
        require(0);
        return std::move(std::get<0>(content_));
    }
    const T& operator*() const& { return value(); }
    T& operator*() & { return value(); }
    const T* operator->() const { return &value(); }
    T* operator->() { return &value(); }

    const Error& error() const {
        require(1);
        return std::get<1>(content_);
    }

  private:
    void require(std::size_t index) const {
        if (content_.index() == index) return;
        throw std::logic_error(index == 0 ? "Result: " + std::get<1>(content_).what
                                          : std::string("Result: no error here"));
    }

    std::variant<T, Error> content_;
};

/// The value of a Result that only says whether it was done.
struct Done {};

} // namespace quaycell
