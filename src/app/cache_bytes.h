// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstring>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "app/face_work.h"
#include "app/struct_members.h"
#include "core/deck.h"

namespace paleproof::app {

/// Pixels that wait in memory say nothing about a face that its file and its plan do not: they are
/// neither written nor hashed, wherever they stand.
using WaitingPixels = std::optional<Face>;

/// Values as bytes, for the cache and its keys: read again by the same program on the same machine.
class ByteWriter {
  public:
    [[nodiscard]] const std::string& bytes() const { return bytes_; }

    template <class T>
    ByteWriter& operator()(const T& value) {
        if constexpr (std::is_arithmetic_v<T> || std::is_enum_v<T>) {
            raw(&value, sizeof value);
        } else {
            put(value);
        }
        return *this;
    }

  private:
    void raw(const void* data, std::size_t size) {
        bytes_.append(static_cast<const char*>(data), size);
    }
    void put(const std::string& text) {
        (*this)(text.size());
        bytes_ += text;
    }
    void put(const std::filesystem::path& path) { put(path.string()); }
    void put(const WaitingPixels&) {}
    void put(const SharedGrayMap& map) {
        (*this)(map.table != nullptr);
        if (map.table == nullptr) return;
        const std::span units = map.table->units();
        raw(units.data(), units.size_bytes());
    }
    template <class T>
    void put(const std::vector<T>& values) {
        (*this)(values.size());
        if constexpr (std::is_arithmetic_v<T>) {
            raw(values.data(), values.size() * sizeof(T));
        } else {
            for (const T& value : values) (*this)(value);
        }
    }
    template <class T, std::size_t N>
    void put(const std::array<T, N>& values) {
        for (const T& value : values) (*this)(value);
    }
    template <class T>
    void put(const std::optional<T>& value) {
        (*this)(value.has_value());
        if (value) (*this)(*value);
    }
    template <class A, class B>
    void put(const std::pair<A, B>& value) {
        (*this)(value.first)(value.second);
    }
    template <class T>
    void put(const T& value) {
        for_each_member(value, [this](const auto& member) { (*this)(member); });
    }

    std::string bytes_;
};

/// Reads what ByteWriter wrote.
class ByteReader {
  public:
    explicit ByteReader(std::string_view bytes) : left_(bytes) {}

    /// False once more was asked for than there is, or something is left at the end.
    [[nodiscard]] bool whole() const { return good_ && left_.empty(); }

    template <class T>
    ByteReader& operator()(T& value) {
        if constexpr (std::is_arithmetic_v<T> || std::is_enum_v<T>) {
            raw(&value, sizeof value);
        } else {
            take(value);
        }
        return *this;
    }

  private:
    void raw(void* data, std::size_t size) {
        good_ = good_ && size <= left_.size();
        if (!good_ || size == 0) return;
        std::memcpy(data, left_.data(), size);
        left_.remove_prefix(size);
    }
    /// A count of things that take at least one byte each.
    std::size_t count() {
        std::size_t value = 0;
        (*this)(value);
        good_ = good_ && value <= left_.size();
        return good_ ? value : 0;
    }
    void take(std::string& text) {
        text.resize(count());
        raw(text.data(), text.size());
    }
    void take(std::filesystem::path& path) {
        std::string text;
        take(text);
        path = text;
    }
    void take(WaitingPixels&) {}
    template <class T>
    void take(std::vector<T>& values) {
        values.resize(count());
        if constexpr (std::is_arithmetic_v<T>) {
            raw(values.data(), values.size() * sizeof(T));
        } else {
            for (T& value : values) (*this)(value);
        }
    }
    template <class T, std::size_t N>
    void take(std::array<T, N>& values) {
        for (T& value : values) (*this)(value);
    }
    template <class T>
    void take(std::optional<T>& value) {
        bool has = false;
        (*this)(has);
        value.reset();
        if (good_ && has) (*this)(value.emplace());
    }
    template <class A, class B>
    void take(std::pair<A, B>& value) {
        (*this)(value.first)(value.second);
    }
    template <class T>
    void take(T& value) {
        for_each_member(value, [this](auto& member) { (*this)(member); });
    }

    std::string_view left_;
    bool good_ = true;
};

}  // namespace paleproof::app
