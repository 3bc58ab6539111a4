// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/pdf_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <stdexcept>
#include <string_view>
#include <system_error>

#include "core/format.h"

namespace paleproof::sheet {
namespace {

constexpr std::size_t most_waiting = 1U << 16U;
// From the ID to the end lies the cross-reference table, some bytes for each object.
constexpr off_t searched = 1 << 20;
constexpr std::string_view static_id = "31415926535897932384626433832795";

std::string id_entry(std::string_view id) {
    return "/ID [<" + std::string(id) + "><" + std::string(id) + ">]";
}

}  // namespace

PdfFile::PdfFile(const std::filesystem::path& file)
    : Pipeline("PDF file", nullptr), hash_(XXH3_createState(), &XXH3_freeState) {
    constexpr mode_t all_may_read_and_write = 0666;
    fd_ = ::open(file.c_str(), O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, all_may_read_and_write);
    if (fd_ < 0) fault_ = errno;
    waiting_.reserve(most_waiting);
    XXH3_128bits_reset(hash_.get());
}

PdfFile::~PdfFile() {
    if (fd_ >= 0) ::close(fd_);
}

void PdfFile::put(const char* data, std::size_t size) {
    XXH3_128bits_update(hash_.get(), data, size);
    while (size > 0 && fault_ == 0) {
        const ssize_t count = ::write(fd_, data, size);
        if (count < 0) {
            if (errno != EINTR) fault_ = errno;
            continue;
        }
        data += count;
        size -= static_cast<std::size_t>(count);
    }
}

void PdfFile::write(unsigned char const* data, size_t size) {
    const char* bytes = reinterpret_cast<const char*>(data);
    if (waiting_.size() + size > most_waiting) finish();
    if (size > most_waiting) {
        put(bytes, size);
    } else {
        waiting_.insert(waiting_.end(), bytes, bytes + size);
    }
}

void PdfFile::finish() {
    put(waiting_.data(), waiting_.size());
    waiting_.clear();
}

void PdfFile::close_with_id() {
    finish();
    if (fault_ == 0) fill_in_id();
    const int fd = fd_;
    fd_ = -1;
    if (fd >= 0 && ::close(fd) != 0 && fault_ == 0) fault_ = errno;
    if (fault_ != 0) throw std::runtime_error(std::generic_category().message(fault_));
}

void PdfFile::fill_in_id() {
    const off_t size = ::lseek(fd_, 0, SEEK_END);
    const off_t from = std::max<off_t>(0, size - searched);
    std::string tail(static_cast<std::size_t>(size - from), '\0');
    const ssize_t count = ::pread(fd_, tail.data(), tail.size(), from);
    if (count != static_cast<ssize_t>(tail.size())) {
        fault_ = count < 0 ? errno : EIO;
        return;
    }
    const std::size_t at = tail.rfind(id_entry(static_id));
    if (at == std::string::npos) throw std::runtime_error("no ID at the end of what qpdf wrote");
    const XXH128_hash_t hash = XXH3_128bits_digest(hash_.get());
    const std::string id = id_entry(hex(hash.high64, 16) + hex(hash.low64, 16));
    if (::pwrite(fd_, id.data(), id.size(), from + static_cast<off_t>(at)) !=
        static_cast<ssize_t>(id.size())) {
        fault_ = errno != 0 ? errno : EIO;
    }
}

}  // namespace paleproof::sheet
