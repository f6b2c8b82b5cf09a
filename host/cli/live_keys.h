// What is typed while `live` shows its screen.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

struct LiveKey {
    enum class What { end, plugged, unplugged, why, begin_note, note, other };
    What what;
    std::string text{}; ///< of a note
    bool operator==(const LiveKey&) const = default;
};

/// Bytes of a terminal in, wishes out.
class LiveKeys {
  public:
    /// A note is typed after "n", up to Enter; Escape leaves it. Keys that send more than a byte
    /// (arrows) are passed over when their bytes come together, as terminals send them.
    std::vector<LiveKey> take(std::string_view bytes);

    /// The note so far, while one is being typed.
    const std::optional<std::string>& typed() const { return typed_; }

  private:
    void type(char c, std::vector<LiveKey>& keys);

    std::optional<std::string> typed_;
};

} // namespace quaycell
