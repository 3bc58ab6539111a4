// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>

// lcms2 calls it so.
struct _cmsContext_struct;  // NOLINT(bugprone-reserved-identifier)

namespace paleproof::color::lcms {

/// What this room's sources share about lcms2: handles that close themselves, faults as Error. For
/// the .cpp files of src/color only.

/// A context of its own for each conversion, so that a fault is told to the one who caused it and
/// no state is shared between threads. Must outlive the profiles and transforms made with it.
class Context {
  public:
    Context();
    ~Context();
    Context(const Context&) = delete;
    Context& operator=(const Context&) = delete;
    [[nodiscard]] _cmsContext_struct* get() const { return context_; }
    /// The first fault that lcms2 reported here, one line, "" when none.
    [[nodiscard]] const std::string& fault() const { return fault_; }

  private:
    std::string fault_;
    _cmsContext_struct* context_ = nullptr;
};

struct CloseProfile {
    void operator()(void* profile) const;
};
struct DeleteTransform {
    void operator()(void* transform) const;
};
using Profile = std::unique_ptr<void, CloseProfile>;
using Transform = std::unique_ptr<void, DeleteTransform>;

/// Error{format} with `subject` when the bytes are no ICC profile.
[[nodiscard]] Profile open_profile(const Context& context, std::span<const std::uint8_t> icc,
                                   const std::string& subject);

[[nodiscard]] Profile srgb_profile(const Context& context);

/// CIELAB, D50, as floating point numbers.
[[nodiscard]] Profile lab_profile(const Context& context);

enum class Intent { perceptual, relative, absolute };

/// How samples lie in memory and how the transform is made; formats are lcms2's TYPE_ codes.
struct TransformKind {
    std::uint32_t input_format = 0;
    std::uint32_t output_format = 0;
    Intent intent = Intent::relative;
    bool black_point_compensation = false;
    bool exact = false;  ///< every pixel through the whole pipeline, nothing precalculated
};

/// Error{format} with `subject` when the profiles cannot be joined.
[[nodiscard]] Transform transform(const Context& context, const Profile& from, const Profile& to,
                                  const TransformKind& kind, const std::string& subject);

void apply(const Transform& transform, const void* in, void* out, std::size_t pixels);

/// "RGB display profile", for messages.
[[nodiscard]] std::string described(const Profile& profile);

}  // namespace paleproof::color::lcms
