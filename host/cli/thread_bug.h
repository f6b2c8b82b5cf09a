// A bug that a thread beside main() comes upon. An exception that leaves a thread ends the program
// at once, with the terminal as it was and the page unanswered.
#pragma once

#include <exception>
#include <functional>
#include <mutex>
#include <string>

namespace quaycell {

/// In words, for a person.
std::string bug_words(const std::exception& bug);

/// Any thread may call any of it.
class ThreadBug {
  public:
    /// Does `work` in the thread that calls. Of what that throws the first is kept, and each is
    /// told.
    void guard(const std::function<void()>& work,
               const std::function<void(const std::string& words)>& tell);

    /// For main()'s thread, once the others have ended: throws what was kept, if anything was.
    void rethrow() const;

  private:
    mutable std::mutex mutex_;
    std::exception_ptr first_;
};

} // namespace quaycell
