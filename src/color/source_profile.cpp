// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/source_profile.h"

#include <lcms2.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <list>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

#include "color/builtin_profiles.h"
#include "color/cmyk_table.h"
#include "color/icc_curves.h"
#include "color/lcms.h"
#include "color/shaper.h"
#include "color/transfer.h"
#include "core/error.h"

namespace paleproof::color {

/// One way to convert rows; the kinds stand below.
class ToSrgb::Impl {
  public:
    Impl(SourceSpace source, bool is_identity) : space(source), identity(is_identity) {}
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;
    virtual ~Impl() = default;
    virtual void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const = 0;
    virtual void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const = 0;

    const SourceSpace space;
    const bool identity;
};

namespace {

const std::string subject = "color profile";

int channels(SourceSpace space) {
    switch (space) {
        case SourceSpace::gray:
            return 1;
        case SourceSpace::cmyk:
            return 4;
        case SourceSpace::rgb:
            break;
    }
    return 3;
}

std::string space_name(SourceSpace space) {
    switch (space) {
        case SourceSpace::gray:
            return "gray";
        case SourceSpace::cmyk:
            return "CMYK";
        case SourceSpace::rgb:
            break;
    }
    return "RGB";
}

class Unchanged final : public ToSrgb::Impl {
  public:
    explicit Unchanged(SourceSpace source) : Impl(source, true) {}
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const override {
        if (in != out) std::copy_n(in, samples(pixels), out);
    }
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const override {
        std::transform(in, in + samples(pixels), out, to_8_bits);
    }

  private:
    [[nodiscard]] std::size_t samples(std::size_t pixels) const {
        return pixels * static_cast<std::size_t>(channels(space));
    }
};

/// Curves, or curves and a matrix, in integer tables.
template <class Tables>
class Shaped final : public ToSrgb::Impl {
  public:
    template <class... Arguments>
    explicit Shaped(SourceSpace source, Arguments&&... arguments)
        : Impl(source, false), tables_(std::forward<Arguments>(arguments)...) {}
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const override {
        tables_.convert(in, out, pixels);
    }
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const override {
        tables_.convert(in, out, pixels);
    }

  private:
    Tables tables_;
};

/// RGB profiles with tables, through lcms2.
class Tabled final : public ToSrgb::Impl {
  public:
    explicit Tabled(std::shared_ptr<const OpenProfile> open)
        : Impl(SourceSpace::rgb, false), open_(std::move(open)), from_8_(made(TYPE_RGB_8)) {}
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const override {
        lcms::apply(from_8_, in, out, pixels);
    }
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const override {
        std::call_once(made_16_, [this] { from_16_ = made(TYPE_RGB_16); });
        lcms::apply(from_16_, in, out, pixels);
    }

  private:
    [[nodiscard]] lcms::Transform made(std::uint32_t format) const {
        return lcms::transform(open_->context, open_->profile, lcms::srgb_profile(open_->context),
                               {format, TYPE_RGB_8, lcms::Intent::relative, true, false}, subject);
    }

    std::shared_ptr<const OpenProfile> open_;
    lcms::Transform from_8_;
    mutable std::once_flag made_16_;
    mutable lcms::Transform from_16_;
};

/// CMYK profiles, by a table of our own, which takes an eighth of lcms2's time for four inks.
class Inked final : public ToSrgb::Impl {
  public:
    explicit Inked(const OpenProfile& open)
        : Impl(SourceSpace::cmyk, false),
          table_([&open](std::span<const std::uint8_t> inks, std::span<std::uint16_t> colors) {
              const lcms::Transform full = lcms::transform(
                  open.context, open.profile, lcms::srgb_profile(open.context),
                  {TYPE_CMYK_8, TYPE_RGB_16, lcms::Intent::relative, true, true}, subject);
              lcms::apply(full, inks.data(), colors.data(), inks.size() / 4);
          }) {}
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const override {
        table_.convert(in, out, pixels);
    }
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const override {
        constexpr std::size_t block = 1024;
        std::array<std::uint8_t, block * 4> narrow{};
        for (std::size_t done = 0; done < pixels; done += block) {
            const std::size_t count = std::min(block, pixels - done);
            std::transform(in + done * 4, in + (done + count) * 4, narrow.begin(), to_8_bits);
            table_.convert(narrow.data(), out + done * 3, count);
        }
    }

  private:
    CmykTable table_;
};

/// Every 15th code per channel and all neutrals come out within 1 code: an sRGB profile under
/// whatever name.
bool behaves_as_srgb(const ToSrgb::Impl& made) {
    if (made.space == SourceSpace::cmyk) return false;
    std::vector<std::uint8_t> in;
    for (int i = 0; i < 256; ++i) {
        in.insert(in.end(), static_cast<std::size_t>(channels(made.space)),
                  static_cast<std::uint8_t>(i));
    }
    if (made.space == SourceSpace::rgb) {
        for (int r = 0; r < 256; r += 15) {
            for (int g = 0; g < 256; g += 15) {
                for (int b = 0; b < 256; b += 15) {
                    for (const int v : {r, g, b}) in.push_back(static_cast<std::uint8_t>(v));
                }
            }
        }
    }
    std::vector<std::uint8_t> out(in.size());
    made.convert(in.data(), out.data(), in.size() / static_cast<std::size_t>(channels(made.space)));
    return std::equal(in.begin(), in.end(), out.begin(), [](std::uint8_t a, std::uint8_t b) {
        return std::abs(static_cast<int>(a) - static_cast<int>(b)) <= 1;
    });
}

using Made = std::shared_ptr<const ToSrgb::Impl>;

Made simplified(Made made) {
    return behaves_as_srgb(*made) ? std::make_shared<Unchanged>(made->space) : std::move(made);
}

Made made_from_icc(std::span<const std::uint8_t> icc, SourceSpace expected) {
    auto opening = std::make_shared<OpenProfile>();
    opening->profile = lcms::open_profile(opening->context, icc, subject);
    const std::shared_ptr<const OpenProfile> open = std::move(opening);
    const cmsProfileClassSignature kind = cmsGetDeviceClass(open->profile.get());
    const cmsColorSpaceSignature space = cmsGetColorSpace(open->profile.get());
    const bool usable = kind == cmsSigInputClass || kind == cmsSigDisplayClass ||
                        kind == cmsSigOutputClass || kind == cmsSigColorSpaceClass;
    const bool fits = expected == SourceSpace::gray  ? space == cmsSigGrayData
                      : expected == SourceSpace::rgb ? space == cmsSigRgbData
                                                     : space == cmsSigCmykData;
    if (!usable || !fits) {
        throw Error(ErrorKind::format, subject,
                    "expected a profile for " + space_name(expected) + " pixels, found a " +
                        lcms::described(open->profile) + "; save the picture with its own profile");
    }
    if (expected == SourceSpace::gray) {
        return simplified(std::make_shared<Shaped<GrayShaper>>(expected, gray_curve(open)));
    }
    if (const std::optional<MatrixProfile> matrix = matrix_profile(open)) {
        return simplified(std::make_shared<Shaped<Shaper>>(
            expected, matrix->curves, product(srgb_from_xyz_d50(), matrix->to_xyz_d50)));
    }
    if (expected == SourceSpace::cmyk) return std::make_shared<Inked>(*open);
    return simplified(std::make_shared<Tabled>(open));
}

/// The last few profiles and what was made of them: the faces of a deck mostly share one.
class Kept {
  public:
    Made get(std::span<const std::uint8_t> icc, SourceSpace expected) {
        // Held while a transform is made, so that threads that start together make it once.
        const std::lock_guard lock(mutex_);
        for (auto entry = entries_.begin(); entry != entries_.end(); ++entry) {
            if (entry->made_for == expected &&
                std::equal(entry->icc.begin(), entry->icc.end(), icc.begin(), icc.end())) {
                entries_.splice(entries_.begin(), entries_, entry);
                return entry->made;
            }
        }
        entries_.push_front({{icc.begin(), icc.end()}, expected, made_from_icc(icc, expected)});
        if (entries_.size() > limit) entries_.pop_back();
        return entries_.front().made;
    }

  private:
    static constexpr std::size_t limit = 8;
    struct Entry {
        std::vector<std::uint8_t> icc;
        SourceSpace made_for;
        Made made;
    };
    std::mutex mutex_;
    std::list<Entry> entries_;
};

Made kept(std::span<const std::uint8_t> icc, SourceSpace expected) {
    static Kept all;
    return all.get(icc, expected);
}

void refuse_cmyk(SourceSpace space) {
    if (space == SourceSpace::cmyk) {
        throw Error(ErrorKind::internal, subject, "CMYK has no RGB primaries or curve");
    }
}

Made made_from_curve(SourceSpace space, const Shaper::Curve& curve,
                     const Chromaticities& primaries) {
    if (space == SourceSpace::gray) {
        return simplified(std::make_shared<Shaped<GrayShaper>>(space, curve));
    }
    const std::optional<Matrix3> to_xyz = to_xyz_d50(primaries);
    if (!to_xyz) {
        throw Error(ErrorKind::format, subject,
                    "expected primaries that form a triangle around white (cHRM), found others");
    }
    return simplified(
        std::make_shared<Shaped<Shaper>>(space, std::array<Shaper::Curve, 3>{curve, curve, curve},
                                         product(srgb_from_xyz_d50(), *to_xyz)));
}

}  // namespace

ToSrgb::ToSrgb(std::shared_ptr<const Impl> impl) : impl_(std::move(impl)) {}

ToSrgb ToSrgb::srgb(SourceSpace space) {
    refuse_cmyk(space);
    return ToSrgb(std::make_shared<Unchanged>(space));
}

ToSrgb ToSrgb::from_icc(std::span<const std::uint8_t> icc, SourceSpace expected) {
    return ToSrgb(kept(icc, expected));
}

ToSrgb ToSrgb::from_gamma(SourceSpace space, double file_gamma,
                          const std::optional<Chromaticities>& primaries) {
    refuse_cmyk(space);
    if (!(file_gamma >= 0.01 && file_gamma <= 10.0)) {
        throw Error(ErrorKind::format, subject,
                    "expected a gamma of 0.01 to 10 (gAMA), found one outside");
    }
    return ToSrgb(
        made_from_curve(space, gamma_curve(file_gamma), primaries.value_or(Chromaticities{})));
}

std::optional<ToSrgb> ToSrgb::from_cicp(const Cicp& codes, SourceSpace space) {
    refuse_cmyk(space);
    const std::optional<Shaper::Curve> curve = h273_curve(codes.transfer);
    const std::optional<Chromaticities> primaries = h273_primaries(codes.primaries);
    if (!curve || !primaries || codes.matrix != 0 || codes.full_range != 1) return std::nullopt;
    return ToSrgb(made_from_curve(space, *curve, *primaries));
}

ToSrgb ToSrgb::default_cmyk() { return from_icc(coated_profile(), SourceSpace::cmyk); }

SourceSpace ToSrgb::source() const { return impl_->space; }

int ToSrgb::input_channels() const { return channels(impl_->space); }

int ToSrgb::output_channels() const { return impl_->space == SourceSpace::gray ? 1 : 3; }

bool ToSrgb::identity() const { return impl_->identity; }

void ToSrgb::convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const {
    impl_->convert(in, out, pixels);
}

void ToSrgb::convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const {
    impl_->convert(in, out, pixels);
}

}  // namespace paleproof::color
