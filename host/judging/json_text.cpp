#include "judging/json_text.h"

#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

class Printer {
  public:
    explicit Printer(bool indented) : indented_(indented) {}

    std::string print(const json::value& value) {
        write(value, 0);
        text_ += '\n';
        return std::move(text_);
    }

  private:
    void write(const json::value& value, int depth) {
        if (const auto* object = value.if_object()) {
            write_list(object->begin(), object->end(), depth, '{', '}', [&](const auto& member) {
                text_ += json::serialize(json::value(member.key())) + (indented_ ? ": " : ":");
                write(member.value(), depth + 1);
            });
        } else if (const auto* array = value.if_array()) {
            write_list(array->begin(), array->end(), depth, '[', ']',
                       [&](const json::value& item) { write(item, depth + 1); });
        } else if (const auto* number = value.if_double()) {
            text_ += fmt::format("{}", *number); // the library itself would write -8.7E2
        } else {
            text_ += json::serialize(value);
        }
    }

    template <typename Iterator, typename WriteItem>
    void write_list(Iterator first, Iterator last, int depth, char open, char close,
                    const WriteItem& write_item) {
        text_ += open;
        bool any = false;
        for (; first != last; ++first) {
            if (any) text_ += ',';
            any = true;
            new_line(depth + 1);
            write_item(*first);
        }
        if (any) new_line(depth);
        text_ += close;
    }

    void new_line(int depth) {
        if (!indented_) return;
        text_ += '\n';
        text_.append(static_cast<std::size_t>(depth) * 2, ' ');
    }

    bool indented_;
    std::string text_;
};

} // namespace

std::string to_document(const json::value& value) {
    return Printer(true).print(value);
}

std::string to_line(const json::value& value) {
    return Printer(false).print(value);
}

json::value rounded(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double result = std::round(value * scale) / scale;
    return result == 0 ? 0.0 : result; // never -0
}

} // namespace quaycell
