// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/file_bytes.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

#include "core/error.h"

namespace paleproof::codec {
namespace {

class Descriptor {
  public:
    explicit Descriptor(int fd) : fd_(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (fd_ >= 0) {
            ::close(fd_);
        }
    }
    [[nodiscard]] int get() const { return fd_; }

  private:
    int fd_;
};

std::string reason(int code) { return std::generic_category().message(code); }

std::string kind_of(mode_t mode) {
    if (S_ISDIR(mode)) {
        return "a folder";
    }
    if (S_ISFIFO(mode)) {
        return "a pipe";
    }
    if (S_ISSOCK(mode)) {
        return "a socket";
    }
    return "a device";
}

}  // namespace

FileBytes file_bytes(const std::filesystem::path& file, std::uint64_t max_bytes) {
    const std::string subject = file.string();
    // O_NONBLOCK: opening a pipe without a writer would wait forever.
    const Descriptor fd(::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY));
    if (fd.get() < 0) {
        throw Error(ErrorKind::file, subject, "cannot be opened: " + reason(errno));
    }
    struct stat status {};
    if (::fstat(fd.get(), &status) != 0) {
        throw Error(ErrorKind::file, subject, "cannot be examined: " + reason(errno));
    }
    if (!S_ISREG(status.st_mode)) {
        throw Error(ErrorKind::file, subject,
                    "expected an image file, found " + kind_of(status.st_mode));
    }
    const auto size = static_cast<std::uint64_t>(status.st_size);
    if (size > max_bytes) {
        throw Error(ErrorKind::file, subject,
                    "expected at most " + std::to_string(max_bytes >> 20U) + " MiB, found " +
                        std::to_string(size >> 20U) + " MiB");
    }
    FileBytes bytes;
    bytes.data = std::make_unique_for_overwrite<std::uint8_t[]>(size);
    while (bytes.size < size) {
        const ssize_t count = ::read(fd.get(), bytes.data.get() + bytes.size,
                                     static_cast<std::size_t>(size) - bytes.size);
        if (count < 0 && errno == EINTR) {
            continue;
        }
        if (count < 0) {
            throw Error(ErrorKind::file, subject, "cannot be read: " + reason(errno));
        }
        if (count == 0) {
            throw Error(ErrorKind::file, subject,
                        "became shorter while it was read: expected " + std::to_string(size) +
                            " bytes, found " + std::to_string(bytes.size));
        }
        bytes.size += static_cast<std::size_t>(count);
    }
    return bytes;
}

}  // namespace paleproof::codec
