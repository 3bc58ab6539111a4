// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/handoff.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "core/format.h"
#include "report/text.h"

namespace paleproof::app {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 1;

/// A face that has a page, with what both files say of it.
struct Row {
    const RecordedFace* face = nullptr;
    std::string back;  ///< name, "" = none
    int back_page = 0;
    int page = 0;
    SizeMm page_mm;
    RectPx trim_px;
    int rotation = 0;
};

std::vector<Row> rows_of(const EditionRecord& record) {
    std::vector<int> page_of(record.faces.size(), 0);
    int pages = 0;
    for (std::size_t i = 0; i < record.faces.size(); ++i) {
        if (!record.faces[i].proof.empty()) page_of[i] = ++pages;
    }
    std::vector<Row> rows;
    for (std::size_t i = 0; i < record.faces.size(); ++i) {
        const RecordedFace& face = record.faces[i];
        if (page_of[i] == 0) continue;
        Row row;
        row.face = &face;
        row.page = page_of[i];
        if (face.back && page_of[*face.back] != 0) {
            row.back = record.faces[*face.back].name;
            row.back_page = page_of[*face.back];
        }
        row.page_mm = {face.trim.width + face.bleed.left + face.bleed.right,
                       face.trim.height + face.bleed.top + face.bleed.bottom};
        // The bleed of a proof is whole pixels; sizes of the trim may not be.
        const double px_x = face.proof_px.width / row.page_mm.width.value;
        const double px_y = face.proof_px.height / row.page_mm.height.value;
        const auto px = [](Mm length, double per_mm) {
            return static_cast<int>(std::lround(length.value * per_mm));
        };
        row.trim_px = {px(face.bleed.left, px_x), px(face.bleed.top, px_y), 0, 0};
        row.trim_px.width = face.proof_px.width - row.trim_px.x - px(face.bleed.right, px_x);
        row.trim_px.height = face.proof_px.height - row.trim_px.y - px(face.bleed.bottom, px_y);
        row.rotation = face.trim.width > face.trim.height ? 90 : 0;
        rows.push_back(std::move(row));
    }
    return rows;
}

/// Up to four decimals, no useless zeros: a JSON number of exactly these digits.
double rounded(Mm length) { return std::round(length.value * 1e3) / 1e3; }

const char* color_of(const RecordedFace& face) {
    if (face.bits == 1) return "bilevel";
    return face.channels == 1 ? "gray" : "rgb";
}

}  // namespace

std::string handoff_csv(const EditionRecord& record) {
    std::string text =
        "page,face,file,copies,back,back_page,page_width_mm,page_height_mm,trim_x_mm,trim_y_mm,"
        "trim_width_mm,trim_height_mm,bleed_top_mm,bleed_right_mm,bleed_bottom_mm,bleed_left_mm,"
        "width_px,height_px,trim_x_px,trim_y_px,trim_width_px,trim_height_px,rotation_deg,color,"
        "hash\r\n";
    for (const Row& row : rows_of(record)) {
        const RecordedFace& face = *row.face;
        text += std::to_string(row.page) + ',' + report::csv_cell(face.name) + ',' +
                report::csv_cell(face.proof) + ',' + std::to_string(face.copies) + ',' +
                report::csv_cell(row.back) + ',' +
                (row.back_page == 0 ? "" : std::to_string(row.back_page));
        for (const Mm length : {row.page_mm.width, row.page_mm.height, face.bleed.left,
                                face.bleed.top, face.trim.width, face.trim.height, face.bleed.top,
                                face.bleed.right, face.bleed.bottom, face.bleed.left}) {
            text += ',' + fixed(length.value, 3);
        }
        for (const int pixels :
             {face.proof_px.width, face.proof_px.height, row.trim_px.x, row.trim_px.y,
              row.trim_px.width, row.trim_px.height, row.rotation}) {
            text += ',' + std::to_string(pixels);
        }
        text += std::string(",") + color_of(face) + ',' + face.proof_hash + "\r\n";
    }
    return text;
}

std::string handoff_json(const EditionRecord& record) {
    Json faces = Json::array();
    for (const Row& row : rows_of(record)) {
        const RecordedFace& face = *row.face;
        Json json{{"page", row.page},
                  {"face", face.name},
                  {"file", face.proof},
                  {"copies", face.copies},
                  {"back", row.back.empty() ? Json() : Json(row.back)},
                  {"back_page", row.back_page == 0 ? Json() : Json(row.back_page)}};
        json["page_mm"] = {rounded(row.page_mm.width), rounded(row.page_mm.height)};
        json["trim_box_mm"] = {rounded(face.bleed.left), rounded(face.bleed.top),
                               rounded(face.trim.width), rounded(face.trim.height)};
        json["bleed_box_mm"] = {0, 0, rounded(row.page_mm.width), rounded(row.page_mm.height)};
        json["trim_box_px"] = {row.trim_px.x, row.trim_px.y, row.trim_px.width, row.trim_px.height};
        json["bleed_box_px"] = {0, 0, face.proof_px.width, face.proof_px.height};
        json["rotation_deg"] = row.rotation;
        json["color"] = color_of(face);
        json["hash"] = face.proof_hash;
        faces.push_back(std::move(json));
    }
    const Json json{{"format", format_version},
                    {"title", record.title},
                    {"edition", record.edition},
                    {"pages_file", "pages.pdf"},
                    {"faces", std::move(faces)}};
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace paleproof::app
