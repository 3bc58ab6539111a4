// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/atomic_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <string>
#include <system_error>

#include "core/error.h"

namespace paleproof::codec {
namespace {

[[noreturn]] void fail(const std::filesystem::path& file, const char* what, int code) {
    throw Error(ErrorKind::file, file.string(),
                std::string(what) + ": " + std::generic_category().message(code));
}

/// A file that is removed again unless it gets its final name.
class Temporary {
  public:
    explicit Temporary(const std::filesystem::path& target) : target_(target) {
        // Unique per process and call; O_EXCL guards against what an earlier process left behind.
        static std::atomic<unsigned> serial{0};
        const std::string start = target.filename().string().substr(0, longest_start);
        for (int attempt = 0; attempt < attempts; ++attempt) {
            name_ = target.parent_path() / ("." + start + "." + std::to_string(::getpid()) + "-" +
                                            std::to_string(serial++) + ".part");
            fd_ = ::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW,
                         all_may_read_and_write);
            if (fd_ >= 0) {
                return;
            }
            if (errno != EEXIST) {
                break;
            }
        }
        fail(target_, "cannot be written", errno);
    }
    Temporary(const Temporary&) = delete;
    Temporary& operator=(const Temporary&) = delete;
    ~Temporary() {
        if (fd_ >= 0) {
            ::close(fd_);
        }
        if (!done_) {
            ::unlink(name_.c_str());
        }
    }

    void write(std::span<const std::uint8_t> bytes) {
        while (!bytes.empty()) {
            const ssize_t count = ::write(fd_, bytes.data(), bytes.size());
            if (count < 0 && errno == EINTR) {
                continue;
            }
            if (count < 0) {
                fail(target_, "cannot be written", errno);
            }
            bytes = bytes.subspan(static_cast<std::size_t>(count));
        }
    }

    void keep_mode_of_old_file() {
        struct stat old {};
        if (::stat(target_.c_str(), &old) == 0 && S_ISREG(old.st_mode)) {
            // A file of someone else keeps our mode; that is no reason to fail.
            (void)::fchmod(fd_, old.st_mode & 07777U);
        }
    }

    void become_target() {
        if (::fsync(fd_) != 0) {
            fail(target_, "cannot be flushed to the disk", errno);
        }
        const int fd = fd_;
        fd_ = -1;
        if (::close(fd) != 0) {
            fail(target_, "cannot be closed", errno);
        }
        if (::rename(name_.c_str(), target_.c_str()) != 0) {
            fail(target_, "cannot be put in place", errno);
        }
        done_ = true;
    }

  private:
    static constexpr std::size_t longest_start = 100;  // of 255 bytes that a name may have
    static constexpr int attempts = 100;
    static constexpr mode_t all_may_read_and_write = 0666;

    const std::filesystem::path& target_;
    std::filesystem::path name_;
    int fd_ = -1;
    bool done_ = false;
};

}  // namespace

void write_file(const std::filesystem::path& file, std::span<const std::uint8_t> bytes) {
    Temporary temporary(file);
    temporary.keep_mode_of_old_file();
    temporary.write(bytes);
    temporary.become_target();
}

void write_file(const std::filesystem::path& file, std::string_view text) {
    write_file(file, std::span(reinterpret_cast<const std::uint8_t*>(text.data()), text.size()));
}

}  // namespace paleproof::codec
