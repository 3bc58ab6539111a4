// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/content_hash.h"

#include <xxhash.h>

#include <array>
#include <fstream>
#include <memory>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::app {
namespace {

std::string digits_of(XXH128_hash_t hash) { return hex(hash.high64, 16) + hex(hash.low64, 16); }

}  // namespace

std::string content_hash(std::span<const std::uint8_t> bytes) {
    return digits_of(XXH3_128bits(bytes.data(), bytes.size()));
}

std::string content_hash(std::string_view text) {
    return digits_of(XXH3_128bits(text.data(), text.size()));
}

std::string content_hash_of_file(const std::filesystem::path& file) {
    const std::unique_ptr<XXH3_state_t, decltype(&XXH3_freeState)> state(XXH3_createState(),
                                                                         &XXH3_freeState);
    XXH3_128bits_reset(state.get());
    std::ifstream stream(file, std::ios::binary);
    std::array<char, 65536> block{};
    while (stream.read(block.data(), block.size()) || stream.gcount() > 0) {
        XXH3_128bits_update(state.get(), block.data(), static_cast<std::size_t>(stream.gcount()));
    }
    if (!stream.eof()) {
        throw Error(ErrorKind::file, file.string(), "expected a file that can be read");
    }
    return digits_of(XXH3_128bits_digest(state.get()));
}

}  // namespace paleproof::app
