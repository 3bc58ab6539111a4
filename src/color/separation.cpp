// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/separation.h"

#include <lcms2.h>

#include <functional>
#include <mutex>
#include <utility>

#include "color/builtin_profiles.h"
#include "color/coverage.h"
#include "color/ink_table.h"
#include "color/paper.h"
#include "color/profile_inks.h"
#include "core/error.h"

namespace paleproof::color {
namespace {

/// The limits that the built-in profiles were made with: fixtures/icc/README.md.
constexpr double uncoated_limit = 3.00;
constexpr double coated_limit = 3.30;

std::shared_ptr<const OpenProfile> opened(std::span<const std::uint8_t> icc,
                                          const std::string& subject) {
    auto open = std::make_shared<OpenProfile>();
    open->profile = lcms::open_profile(open->context, icc, subject);
    return open;
}

/// True for CMYK, false for gray, Error{format} for what is no printer's or press's profile.
bool is_cmyk_output(const OpenProfile& open, const std::string& subject) {
    const cmsColorSpaceSignature space = cmsGetColorSpace(open.profile.get());
    const bool fits = space == cmsSigCmykData || space == cmsSigGrayData;
    if (cmsGetDeviceClass(open.profile.get()) != cmsSigOutputClass || !fits) {
        throw Error(ErrorKind::format, subject,
                    "expected the CMYK or gray output profile of a printer or press, found a " +
                        lcms::described(open.profile));
    }
    return space == cmsSigCmykData;
}

InkSum gray_run(const std::uint8_t* codes, std::size_t count) {
    std::uint64_t light = 0;
    for (std::size_t i = 0; i < count; ++i) light += codes[i];
    return {0, 0, 0, std::uint64_t{255} * count - light};
}

}  // namespace

/// What the public class shares between its copies.
class Separation::Impl {
  public:
    /// What becomes of colors.
    enum class Colors {
        as_gray,       ///< they count as gray of their luminance
        by_profile,    ///< through the profile
        by_made_table  ///< the same, by a table that was made of it when the program was built
    };

    Impl(std::string name, std::optional<double> total_limit,
         std::shared_ptr<const OpenProfile> open, Intent intent, Colors colors,
         std::span<const std::uint64_t> made_table = {})
        : name_(std::move(name)),
          total_limit_(total_limit),
          open_(std::move(open)),
          cmyk_(is_cmyk_output(*open_, name_)),
          paper_(open_, cmyk_, name_),
          colors_(colors),
          made_table_(made_table) {
        if (colors != Colors::by_profile) return;
        inks_.emplace(
            open_, cmyk_,
            intent == Intent::perceptual ? lcms::Intent::perceptual : lcms::Intent::relative,
            name_);
    }

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] std::optional<double> total_limit() const { return total_limit_; }
    [[nodiscard]] const Paper& paper() const { return paper_; }

    [[nodiscard]] InkUse ink(const Image& image, RectPx area, Ppi ppi) const {
        return with_runs(image, [&](std::uint64_t unit, const InkOfRun& run) {
            return coverage(area, ppi, unit, run);
        });
    }

    [[nodiscard]] std::vector<double> totals(const Image& image, int across, int down) const {
        return with_runs(image, [&](std::uint64_t unit, const InkOfRun& run) {
            std::vector<double> result;
            const auto edge = [](int length, int parts, int i) {
                return static_cast<int>(std::int64_t{length} * i / parts);
            };
            for (int j = 0; j < down; ++j) {
                const int top = edge(image.height(), down, j);
                const int bottom = edge(image.height(), down, j + 1);
                const int step = std::max(1, (bottom - top) / 3);
                const int rows = (bottom - top + step - 1) / step;
                for (int i = 0; i < across; ++i) {
                    const int left = edge(image.width(), across, i);
                    const int right = edge(image.width(), across, i + 1);
                    std::uint64_t sum = 0;
                    for (int y = top; y < bottom; y += step) {
                        for (const std::uint64_t ink : run(left, y, right - left)) sum += ink;
                    }
                    result.push_back(static_cast<double>(sum) /
                                     (static_cast<double>(unit) * rows * (right - left)));
                }
            }
            return result;
        });
    }

    [[nodiscard]] CmykShare separated(Rgb8 color) const {
        if (colors_ == Colors::as_gray)
            return {0, 0, 0, 1.0 - gray_code(color.r, color.g, color.b) / 255.0};
        const std::uint8_t rgb[3] = {color.r, color.g, color.b};
        const InkSum sum = table().sum(rgb, 1);
        const auto share = [](std::uint64_t v) {
            return static_cast<double>(v) / static_cast<double>(InkTable::unit);
        };
        return {share(sum[0]), share(sum[1]), share(sum[2]), share(sum[3])};
    }

  private:
    /// Calls `use(unit, run)`: run(x, y, count) = the inks of pixels of the image in units.
    template <class Use>
    std::invoke_result_t<Use, std::uint64_t, const InkOfRun&> with_runs(const Image& image,
                                                                        const Use& use) const {
        const auto run_of = [&image](const auto& sum, std::size_t channels) {
            return [&image, sum, channels](int x, int y, int count) {
                return sum(image.row(y) + static_cast<std::size_t>(x) * channels,
                           static_cast<std::size_t>(count));
            };
        };
        if (image.encoding() != Encoding::srgb) return use(255U, run_of(gray_run, 1));
        if (colors_ == Colors::as_gray) {
            const auto as_gray = [&gray = gray_codes()](const std::uint8_t* rgb,
                                                        std::size_t count) {
                std::uint64_t light = 0;
                for (std::size_t i = 0; i < count; ++i, rgb += 3)
                    light += gray(rgb[0], rgb[1], rgb[2]);
                return InkSum{0, 0, 0, std::uint64_t{255} * count - light};
            };
            return use(255U, run_of(as_gray, 3));
        }
        const auto through_table = [&inks = table()](const std::uint8_t* rgb, std::size_t count) {
            return inks.sum(rgb, count);
        };
        return use(InkTable::unit, run_of(through_table, 3));
    }

    [[nodiscard]] const InkTable& table() const {
        std::call_once(table_made_, [this] {
            table_ = inks_ ? std::make_unique<const InkTable>(std::cref(*inks_))
                           : std::make_unique<const InkTable>(made_table_);
        });
        return *table_;
    }

    std::string name_;
    std::optional<double> total_limit_;
    std::shared_ptr<const OpenProfile> open_;
    bool cmyk_;
    Paper paper_;
    Colors colors_;
    std::span<const std::uint64_t> made_table_;
    std::optional<ProfileInks> inks_;
    // Made when the first color picture comes: a deck of gray proofs never needs it.
    mutable std::once_flag table_made_;
    mutable std::unique_ptr<const InkTable> table_;
};

Separation::Separation(std::shared_ptr<const Impl> impl) : impl_(std::move(impl)) {}

std::shared_ptr<const Separation::Impl> Separation::built_in(const std::string& name, double limit,
                                                             std::span<const std::uint8_t> icc,
                                                             std::span<const std::uint64_t> inks,
                                                             Intent intent) {
    const bool made = intent == Intent::relative;
    return std::make_shared<const Impl>(
        name, limit, opened(icc, name), intent,
        made ? Impl::Colors::by_made_table : Impl::Colors::by_profile, inks);
}

Separation Separation::black() {
    static const auto impl = std::make_shared<const Impl>(
        "black", 1.0, opened(uncoated_profile(), "black"), Intent::relative, Impl::Colors::as_gray);
    return Separation(impl);
}

Separation Separation::uncoated(Intent intent) {
    if (intent == Intent::perceptual) {
        static const auto perceptual =
            built_in("uncoated", uncoated_limit, uncoated_profile(), uncoated_inks(), intent);
        return Separation(perceptual);
    }
    static const auto relative =
        built_in("uncoated", uncoated_limit, uncoated_profile(), uncoated_inks(), intent);
    return Separation(relative);
}

Separation Separation::coated(Intent intent) {
    if (intent == Intent::perceptual) {
        static const auto perceptual =
            built_in("coated", coated_limit, coated_profile(), coated_inks(), intent);
        return Separation(perceptual);
    }
    static const auto relative =
        built_in("coated", coated_limit, coated_profile(), coated_inks(), intent);
    return Separation(relative);
}

Separation Separation::from_profile(std::span<const std::uint8_t> icc, const std::string& name,
                                    Intent intent) {
    return Separation(std::make_shared<const Impl>(name, std::nullopt, opened(icc, name), intent,
                                                   Impl::Colors::by_profile));
}

const std::string& Separation::name() const { return impl_->name(); }

std::optional<double> Separation::total_limit() const { return impl_->total_limit(); }

InkUse Separation::ink(const Image& image, RectPx trim, Ppi ppi) const {
    const RectPx area = intersection(trim, image.bounds());
    if (area.empty()) {
        throw Error(ErrorKind::internal, "trim",
                    "expected an area of the image to measure ink in, found one outside of it");
    }
    return impl_->ink(image, area, ppi);
}

std::vector<double> Separation::totals(const Image& image, int across, int down) const {
    if (across < 1 || down < 1 || across > image.width() || down > image.height()) {
        throw Error(ErrorKind::internal, "totals",
                    "expected at least one part and at most as many as pixels");
    }
    return impl_->totals(image, across, down);
}

CmykShare Separation::separated(Rgb8 color) const { return impl_->separated(color); }

Lab Separation::paper_view(Rgb8 color) const { return impl_->paper().view(separated(color)); }

double Separation::paper_luminance(Rgb8 color) const {
    return luminance_of_lightness(paper_view(color).l);
}

double Separation::paper_luminance_of_gray(std::uint8_t code) const {
    return impl_->paper().luminance_of_gray(code);
}

double Separation::paper_contrast(Rgb8 a, Rgb8 b) const {
    return contrast_ratio(paper_luminance(a), paper_luminance(b));
}

double Separation::paper_contrast_of_grays(std::uint8_t a, std::uint8_t b) const {
    return contrast_ratio(paper_luminance_of_gray(a), paper_luminance_of_gray(b));
}

}  // namespace paleproof::color
