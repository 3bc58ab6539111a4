// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "core/base64.h"
#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

RectPx frame_of(const Thumbnail& thumbnail, const FaceResult& face) {
    return thumbnail.frame.empty() ? RectPx{0, 0, face.size_px.width, face.size_px.height}
                                   : thumbnail.frame;
}

RectPx bounding(RectPx a, RectPx b) {
    const int left = std::min(a.x, b.x);
    const int top = std::min(a.y, b.y);
    return {left, top, std::max(a.right(), b.right()) - left,
            std::max(a.bottom(), b.bottom()) - top};
}

std::string share_of(double part, double whole) {
    return fixed(whole > 0.0 ? part / whole * 100.0 : 0.0, 3) + "%";
}

std::string image(std::string_view kind, const Thumbnail& thumbnail, const std::string& address,
                  RectPx frame, RectPx stage, const std::string& alt) {
    return fmt::format(
        R"(<img class="{}" loading="lazy" decoding="async" width="{}" height="{}" alt="{}" style="left:{};top:{};width:{};height:{}" src="{}">)",
        kind, thumbnail.width, thumbnail.height, alt, share_of(frame.x - stage.x, stage.width),
        share_of(frame.y - stage.y, stage.height), share_of(frame.width, stage.width),
        share_of(frame.height, stage.height), address);
}

/// Drawn twice, light under dark, so that it shows on any art.
std::string rectangle(RectPx box, std::string_view kind) {
    const std::string place =
        fmt::format(R"(x="{}" y="{}" width="{}" height="{}")", box.x, box.y, box.width, box.height);
    return fmt::format(R"(<rect class="under {1}" {0}/><rect class="over {1}" {0}/>)", place, kind);
}

/// A little larger than the box, so that the line does not run through what it marks.
RectPx around(RectPx box, RectPx stage) {
    const int gap = stage.width / 100;
    return {box.x - gap, box.y - gap, box.width + 2 * gap, box.height + 2 * gap};
}

std::string drawing(const FaceResult& face, RectPx stage, bool with_findings) {
    std::string shapes = rectangle(face.placement.trim_px, "trim");
    if (with_findings) {
        for (const TextLine& line : face.text) {
            shapes += rectangle(line.box_px, "text");
        }
        for (const Finding& finding : face.findings) {
            if (finding.box_px) {
                shapes += rectangle(around(*finding.box_px, stage), name(finding.severity));
            }
        }
    }
    return fmt::format(
        R"(<svg class="drawing" viewBox="{} {} {} {}" preserveAspectRatio="none" aria-hidden="true">{}</svg>)",
        stage.x, stage.y, stage.width, stage.height, shapes);
}

/// The numbers of the findings, at the top left corner of their boxes; findings that share a box
/// share a tag.
std::string tags(const FaceResult& face, RectPx stage) {
    std::vector<std::pair<RectPx, std::string>> places;
    int count = 0;
    for (const Finding* finding : numbered_findings(face)) {
        ++count;
        if (!finding->box_px) {
            continue;
        }
        const auto place = std::find_if(places.begin(), places.end(), [&](const auto& candidate) {
            return candidate.first == *finding->box_px;
        });
        if (place == places.end()) {
            places.emplace_back(*finding->box_px, fmt::format("{}", count));
        } else {
            place->second += fmt::format(" {}", count);
        }
    }
    std::string result;
    for (const auto& [box, numbers] : places) {
        result += fmt::format(
            R"(<span class="tag" data-numbers="{0}" aria-hidden="true" style="left:{1};top:{2}">{0}</span>)",
            numbers, share_of(box.x - stage.x, stage.width),
            share_of(box.y - stage.y, stage.height));
    }
    return result;
}

std::string view(std::string_view kind, std::string_view caption, const std::string& content) {
    return fmt::format(
        R"(<figure class="view {}"><div class="plate"><div class="stage">{}</div></div><figcaption>{}</figcaption></figure>)",
        kind, content, caption);
}

}  // namespace

std::string address_of(const Thumbnail& thumbnail) {
    return thumbnail.file.empty() ? "data:image/jpeg;base64," + base64(thumbnail.jpeg)
                                  : "./" + thumbnail.file;
}

std::string pictures_html(const PageContext& page, std::size_t index) {
    const FaceResult& face = page.edition.faces[index];
    const bool has_source = !face.source_thumbnail.empty();
    const bool has_proof = !face.proof_thumbnail.empty();
    if (!has_source && !has_proof) {
        return "";
    }
    const RectPx source_frame = frame_of(face.source_thumbnail, face);
    const RectPx proof_frame = frame_of(face.proof_thumbnail, face);
    RectPx stage = has_source ? source_frame : proof_frame;
    if (has_source && has_proof) {
        stage = bounding(source_frame, proof_frame);
    }
    const double ppi = face.placement.ppi.value;
    const double width_mm = ppi > 0.0 ? stage.width / ppi * mm_per_inch : 0.0;
    const auto pictures = [&](std::string_view side, const Thumbnail& art, const Thumbnail& heat,
                              RectPx frame, const std::string& alt) {
        std::string result = image("art", art, address_of(art), frame, stage, alt);
        if (!heat.empty()) {
            result += image("heat", heat, address_of(heat), frame, stage,
                            fmt::format("Ink of the {} of {}", side, escaped(face.name)));
        }
        return result;
    };
    const std::string drawn_name = escaped(face.name);
    std::string views;
    if (has_source) {
        views += view("source", "Source",
                      pictures("source", face.source_thumbnail, face.source_heat, source_frame,
                               "Source of " + drawn_name) +
                          drawing(face, stage, true) + tags(face, stage));
    }
    if (has_proof) {
        views += view("proof", "Proof",
                      pictures("proof", face.proof_thumbnail, face.proof_heat, proof_frame,
                               "Proof of " + drawn_name) +
                          drawing(face, stage, false));
    }
    // Where the pictures lie in a card that is cut out: sheets and small pictures are drawn so.
    const RectPx trim = face.placement.trim_px;
    std::string on_card;
    const auto lies = [&](std::string_view side, RectPx frame) {
        on_card += fmt::format(
            R"( data-{}-on-card="{} {} {} {}")", side, share_of(frame.x - trim.x, trim.width),
            share_of(frame.y - trim.y, trim.height), share_of(frame.width, trim.width),
            share_of(frame.height, trim.height));
    };
    if (!trim.empty() && has_source) lies("source", source_frame);
    if (!trim.empty() && has_proof) lies("proof", proof_frame);
    return fmt::format(
        R"(<div class="pictures{}" style="--ratio:{}/{};--width-mm:{}" data-name="{}"{}>{}</div>)",
        has_source && has_proof ? " pair" : "", stage.width, stage.height, fixed(width_mm, 2),
        drawn_name, on_card, views);
}

}  // namespace paleproof::report
