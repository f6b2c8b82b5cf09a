#include "cli/thread_bug.h"

namespace quaycell {

std::string bug_words(const std::exception& bug) {
    return std::string("this is a bug in the program, please report it: ") + bug.what();
}

void ThreadBug::guard(const std::function<void()>& work,
                      const std::function<void(const std::string&)>& tell) {
    try {
        work();
    } catch (const std::exception& bug) {
        {
            const std::scoped_lock lock(mutex_);
            if (!first_) first_ = std::current_exception();
        }
        tell(bug_words(bug));
    }
}

void ThreadBug::rethrow() const {
    const std::scoped_lock lock(mutex_);
    if (first_) std::rethrow_exception(first_);
}

} // namespace quaycell
