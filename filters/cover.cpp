// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/cover.h"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace paleproof::filters {
namespace {

constexpr int along = 1;  // px to each side
constexpr int deep = 2;   // px outward

/// Mean color around places just outside one side of a box.
class SideColors {
  public:
    /// `first` is the row (or column) next to the box, `out` the step away from it.
    SideColors(const Image& image, bool level, int first, int out, int begin, int count)
        : channels_(image.channels()) {
        const int length = level ? image.width() : image.height();
        const int depth = level ? image.height() : image.width();
        present_ = first >= 0 && first < depth;
        if (!present_) return;
        colors_.resize(static_cast<std::size_t>(count) * static_cast<std::size_t>(channels_));
        for (int i = 0; i < count; ++i) {
            for (int c = 0; c < channels_; ++c) {
                double sum = 0.0;
                int taken = 0;
                for (int d = 0; d < deep; ++d) {
                    const int across = std::clamp(first + d * out, 0, depth - 1);
                    for (int a = -along; a <= along; ++a) {
                        const int at = std::clamp(begin + i + a, 0, length - 1);
                        sum += level ? image.row(across)[at * channels_ + c]
                                     : image.row(at)[across * channels_ + c];
                        ++taken;
                    }
                }
                colors_[static_cast<std::size_t>(i * channels_ + c)] = sum / taken;
            }
        }
    }
    [[nodiscard]] bool present() const { return present_; }
    [[nodiscard]] double at(int i, int c) const {
        return colors_[static_cast<std::size_t>(i * channels_ + c)];
    }

  private:
    int channels_;
    bool present_ = false;
    std::vector<double> colors_;
};

void paint_over(Image& image, RectPx box) {
    const SideColors top(image, true, box.y - 1, -1, box.x, box.width);
    const SideColors bottom(image, true, box.bottom(), 1, box.x, box.width);
    const SideColors left(image, false, box.x - 1, -1, box.y, box.height);
    const SideColors right(image, false, box.right(), 1, box.y, box.height);
    if (!top.present() && !bottom.present() && !left.present() && !right.present()) return;
    const bool bilevel = image.encoding() == Encoding::bilevel;
    const int channels = image.channels();
    const auto weight = [](const SideColors& side, int distance) {
        return side.present() ? 1.0 / (static_cast<double>(distance) * distance) : 0.0;
    };
    for (int y = 0; y < box.height; ++y) {
        std::uint8_t* out = image.row(box.y + y) + static_cast<std::ptrdiff_t>(box.x) * channels;
        const double up = weight(top, y + 1);
        const double down = weight(bottom, box.height - y);
        for (int x = 0; x < box.width; ++x) {
            const double before = weight(left, x + 1);
            const double after = weight(right, box.width - x);
            const double sum = up + down + before + after;
            for (int c = 0; c < channels; ++c) {
                double value = 0.0;
                if (top.present()) value += up * top.at(x, c);
                if (bottom.present()) value += down * bottom.at(x, c);
                if (left.present()) value += before * left.at(y, c);
                if (right.present()) value += after * right.at(y, c);
                value /= sum;
                *out++ =
                    bilevel ? (value < 127.5 ? 0 : 255) : static_cast<std::uint8_t>(value + 0.5);
            }
        }
    }
}

}  // namespace

Image cover(const Image& card, std::span<const RectPx> boxes) {
    Image result = card;
    for (const RectPx& box : boxes) {
        const RectPx inside = intersection(box, card.bounds());
        if (!inside.empty()) paint_over(result, inside);
    }
    return result;
}

}  // namespace paleproof::filters
