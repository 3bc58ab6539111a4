// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/swatches.h"

#include <algorithm>
#include <cmath>

#include "sheet/page_content.h"

namespace paleproof::sheet {
namespace {

constexpr double radians = 3.14159265358979323846 / 180.0;
constexpr Mm light_pitch{5.0};
constexpr Mm light_weight{0.1};
constexpr double light_gray = 0.5;
constexpr Mm frame_weight{0.1};

/// Content in millimeters from the bottom left of the page, y upward.
class Drawing {
  public:
    explicit Drawing(SizeMm page) : height_(page.height.value) {}
    std::string content;

    [[nodiscard]] double up(Mm y) const { return height_ - y.value; }
    void op(const std::string& text) { content += text + '\n'; }
    [[nodiscard]] static std::string number(double mm) { return pdf_points(Mm{mm}); }

    void rectangle(const RectMm& box) {
        content += number(box.x.value) + ' ' + number(up(box.bottom())) + ' ' +
                   number(box.width.value) + ' ' + number(box.height.value) + " re\n";
    }
    /// Parallel lines through a box, one of them through its middle.
    void lines(const RectMm& box, double angle_deg, double pitch) {
        const double dx = std::cos(angle_deg * radians);
        const double dy = std::sin(angle_deg * radians);
        const double cx = box.x.value + box.width.value / 2.0;
        const double cy = up(box.y) - box.height.value / 2.0;
        // Half of what the box measures across the lines, and along them.
        const double across =
            (std::abs(dy) * box.width.value + std::abs(dx) * box.height.value) / 2.0;
        const double along =
            (std::abs(dx) * box.width.value + std::abs(dy) * box.height.value) / 2.0;
        const int count = static_cast<int>(std::floor(across / pitch));
        for (int i = -count; i <= count; ++i) {
            const double x = cx - dy * pitch * i;
            const double y = cy + dx * pitch * i;
            content += number(x - dx * along) + ' ' + number(y - dy * along) + " m " +
                       number(x + dx * along) + ' ' + number(y + dy * along) + " l\n";
        }
        op("S");
    }
    void dots(const RectMm& box, double pitch, double diameter) {
        // A round dot is a line of no length with round ends (ISO 32000-1, 8.4.3.3).
        const double cx = box.x.value + box.width.value / 2.0;
        const double cy = up(box.y) - box.height.value / 2.0;
        const int nx = static_cast<int>(std::ceil(box.width.value / 2.0 / pitch));
        const int ny = static_cast<int>(std::ceil(box.height.value / 2.0 / pitch));
        op("1 J " + number(diameter) + " w");
        for (int j = -ny; j <= ny; ++j) {
            for (int i = -nx; i <= nx; ++i) {
                const std::string at = number(cx + i * pitch) + ' ' + number(cy + j * pitch);
                content.append(at).append(" m ").append(at).append(" l\n");
            }
        }
        op("S 0 J");
    }

  private:
    double height_;
};

}  // namespace

std::string swatch_content(const Swatch& swatch, SizeMm page) {
    Drawing drawing(page);
    drawing.op("q");
    drawing.op("q");
    drawing.rectangle(swatch.box);
    drawing.op("W n");
    drawing.op(pdf_number(swatch.sample.gray) + " g");
    drawing.rectangle(swatch.box);
    drawing.op("f");
    drawing.op("0 G");
    for (const PatternLines& lines : swatch.sample.lines) {
        drawing.op(pdf_points(lines.width) + " w");
        drawing.lines(swatch.box, lines.angle_deg, std::max(lines.pitch.value, 0.05));
    }
    if (const auto& dots = swatch.sample.dots) {
        drawing.dots(swatch.box, std::max(dots->pitch.value, 0.05), dots->diameter.value);
    }
    drawing.op("Q");
    drawing.op("0 G " + pdf_points(frame_weight) + " w");
    drawing.rectangle(swatch.box);
    drawing.op("S Q");
    return drawing.content;
}

std::string light_content(const RectMm& trim, const Edges<Mm>& bleed, SizeMm page) {
    // As wide on both sides, so that the middle of the lattice is that of the card.
    const Mm side = std::max(bleed.left, bleed.right);
    const Mm end = std::max(bleed.top, bleed.bottom);
    const RectMm box{trim.x - side, trim.y - end, trim.width + 2.0 * side, trim.height + 2.0 * end};
    Drawing drawing(page);
    // White below: guides end beside the lattice as they do beside a face.
    drawing.op("1 g");
    drawing.rectangle(box);
    drawing.op("f");
    drawing.op(pdf_points(light_weight) + " w " + pdf_number(light_gray) + " G");
    drawing.lines(box, 45.0, light_pitch.value);
    drawing.lines(box, 135.0, light_pitch.value);
    return drawing.content;
}

}  // namespace paleproof::sheet
