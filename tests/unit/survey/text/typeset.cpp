// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "typeset.h"

#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_OUTLINE_H

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

namespace paleproof::test {
namespace {

class Font {
  public:
    explicit Font(const std::string& name) {
        const std::string path = "/usr/share/fonts/truetype/" + name;
        if (FT_Init_FreeType(&library_) != 0 ||
            FT_New_Face(library_, path.c_str(), 0, &face_) != 0) {
            throw std::runtime_error(path +
                                     " cannot be read; fixtures/packages.txt names its package");
        }
    }
    ~Font() {
        FT_Done_Face(face_);
        FT_Done_FreeType(library_);
    }
    Font(const Font&) = delete;
    Font& operator=(const Font&) = delete;

    [[nodiscard]] FT_Face face() const { return face_; }

    /// Top of a glyph's outline, per em.
    [[nodiscard]] double top(char glyph) const {
        if (FT_Load_Char(face_, static_cast<FT_ULong>(glyph), FT_LOAD_NO_SCALE) != 0) {
            throw std::runtime_error("no such glyph");
        }
        FT_BBox box;
        FT_Outline_Get_CBox(&face_->glyph->outline, &box);  // x and H have no curves at the top
        return static_cast<double>(box.yMax) / face_->units_per_EM;
    }

  private:
    FT_Library library_ = nullptr;
    FT_Face face_ = nullptr;
};

/// The code points of UTF-8 text; it is ours, hence well formed.
std::vector<FT_ULong> code_points(const std::string& text) {
    std::vector<FT_ULong> result;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte >= 0x80 && byte < 0xC0) {
            result.back() = (result.back() << 6) | (byte & 0x3FU);
        } else {
            result.push_back(byte < 0x80 ? byte : byte < 0xE0 ? byte & 0x1FU : byte & 0x0FU);
        }
    }
    return result;
}

void mix(Image& image, int x, int y, int share, RgbCode ink) {
    if (x < 0 || y < 0 || x >= image.width() || y >= image.height()) {
        return;
    }
    std::uint8_t* pixel = image.row(y) + 3 * x;
    for (std::size_t c = 0; c < 3; ++c) {
        pixel[c] =
            static_cast<std::uint8_t>((pixel[c] * (255 - share) + ink[c] * share + 127) / 255);
    }
}

}  // namespace

FontFacts draw(Image& image, const Setting& setting) {
    const Font font(setting.font);
    FT_Face face = font.face();
    FT_Set_Char_Size(face, 0, std::lround(setting.px * 64), 72, 72);
    std::vector<int> cover(static_cast<std::size_t>(image.width() * image.height()), 0);
    double pen = setting.x;
    for (const FT_ULong glyph : code_points(setting.text)) {
        // The place to a quarter pixel across; whole rows down unless y says otherwise.
        FT_Vector shift{std::lround((pen - std::floor(pen)) * 64),
                        std::lround((std::ceil(setting.y) - setting.y) * 64)};
        FT_Set_Transform(face, nullptr, &shift);
        if (FT_Load_Char(face, glyph, FT_LOAD_RENDER | FT_LOAD_NO_HINTING) != 0) {
            throw std::runtime_error("no such glyph");
        }
        const FT_GlyphSlot slot = face->glyph;
        for (unsigned row = 0; row < slot->bitmap.rows; ++row) {
            for (unsigned column = 0; column < slot->bitmap.width; ++column) {
                const int x = static_cast<int>(std::floor(pen)) + slot->bitmap_left +
                              static_cast<int>(column);
                const int y = static_cast<int>(std::ceil(setting.y)) - slot->bitmap_top +
                              static_cast<int>(row);
                if (x >= 0 && y >= 0 && x < image.width() && y < image.height()) {
                    int& here = cover[static_cast<std::size_t>(y * image.width() + x)];
                    here = std::max(
                        here, static_cast<int>(
                                  slot->bitmap.buffer[static_cast<int>(row) * slot->bitmap.pitch +
                                                      static_cast<int>(column)]));
                }
            }
        }
        pen += static_cast<double>(slot->linearHoriAdvance) / 65536.0;
    }
    const int r = setting.outline_px;
    const int first = std::max(0, static_cast<int>(setting.y - 1.5 * setting.px));
    const int last = std::min(image.height(), static_cast<int>(setting.y + setting.px));
    for (int y = first; r > 0 && y < last; ++y) {
        for (int x = 0; x < image.width(); ++x) {
            int most = 0;
            for (int dy = -r; dy <= r; ++dy) {
                for (int dx = -r; dx <= r; ++dx) {
                    const int u = x + dx, v = y + dy;
                    if (dx * dx + dy * dy <= r * r && u >= 0 && v >= 0 && u < image.width() &&
                        v < image.height()) {
                        most =
                            std::max(most, cover[static_cast<std::size_t>(v * image.width() + u)]);
                    }
                }
            }
            mix(image, x, y, most, setting.rim);
        }
    }
    for (int y = first; y < last; ++y) {
        for (int x = 0; x < image.width(); ++x) {
            mix(image, x, y, cover[static_cast<std::size_t>(y * image.width() + x)], setting.ink);
        }
    }
    return {font.top('x') * setting.px, font.top('H') * setting.px, pen - setting.x};
}

Image plain(int width, int height, RgbCode color, double ppi) {
    Image image(width, height, Encoding::srgb, Ppi{ppi});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            std::copy(color.begin(), color.end(), image.row(y) + 3 * x);
        }
    }
    return image;
}

Image turned(const Image& image, int quarter_turns) {
    Image result = image;
    for (int i = 0; i < quarter_turns; ++i) {
        Image next(result.height(), result.width(), Encoding::srgb, image.ppi());
        for (int y = 0; y < result.height(); ++y) {
            for (int x = 0; x < result.width(); ++x) {
                std::copy_n(result.row(y) + 3 * x, 3, next.row(result.width() - 1 - x) + 3 * y);
            }
        }
        result = next;
    }
    return result;
}

}  // namespace paleproof::test
