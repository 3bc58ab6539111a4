// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/summary.h"

#include <algorithm>
#include <optional>
#include <set>

#include "app/face_names.h"
#include "core/format.h"
#include "core/utf8.h"
#include "report/deck_sums.h"
#include "report/ink_cost.h"

namespace paleproof::app {
namespace {

std::vector<const Finding*> all_findings(const EditionResult& result) {
    std::vector<const Finding*> list;
    for (const Finding& finding : result.findings) list.push_back(&finding);
    for (const FaceResult& face : result.faces) {
        for (const Finding& finding : face.findings) list.push_back(&finding);
    }
    std::ranges::stable_sort(
        list, [](const Finding* a, const Finding* b) { return a->severity > b->severity; });
    return list;
}

std::string finding_line(const Finding& finding) {
    return "  " + std::string(name(finding.severity)) + "  " + std::string(name(finding.rule)) +
           "  " + (finding.face.empty() ? "" : finding.face + ": ") + finding.message + "\n";
}

std::string count_line(const report::DeckSums& sums) {
    if (sums.errors + sums.warnings + sums.notes == 0) return "Findings   none\n";
    return "Findings   " + counted(sums.errors, "error", "errors") + ", " +
           counted(sums.warnings, "warning", "warnings") +
           (sums.notes > 0 ? ", " + counted(sums.notes, "note", "notes") : "") + "\n";
}

std::string deck_line(const EditionResult& result) {
    int cards = 0;
    for (const FaceResult& face : result.faces) cards += face.copies;
    const auto unread = static_cast<std::size_t>(
        std::ranges::count_if(result.faces, [](const FaceResult& face) { return !face.readable; }));
    return "Deck       " + result.title + ": " + counted(result.faces.size(), "face", "faces") +
           (unread > 0 ? " (" + std::to_string(unread) + " not readable)" : "") + ", " +
           counted(static_cast<std::size_t>(cards), "card", "cards") + "\n";
}

/// What most faces are, said once with its count; those that differ are named.
std::string size_lines(const EditionResult& result) {
    std::vector<std::pair<std::string, std::vector<std::string>>> notes;
    for (const FaceResult& face : result.faces) {
        if (face.size_note.empty()) continue;
        auto found = std::ranges::find(notes, face.size_note,
                                       &std::pair<std::string, std::vector<std::string>>::first);
        if (found == notes.end()) found = notes.insert(notes.end(), {face.size_note, {}});
        found->second.push_back(face.name);
    }
    std::ranges::stable_sort(
        notes, [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
    std::string text;
    for (const auto& [note, names] : notes) {
        text += (text.empty() ? "Size       " : "           ") +
                counted(names.size(), "face", "faces") +
                (text.empty() ? "" : " (" + some_names(names) + ")") + ": " + note + "\n";
    }
    return text;
}

std::string left_out_lines(const EditionResult& result) {
    std::string text;
    for (const std::string& clause : result.left_out) {
        text += (text.empty() ? "Left out   " : "           ") + clause + "\n";
    }
    return text;
}

/// "3 x 3 cards a sheet". The side of a folded sheet has no name, as it holds fronts and backs.
std::string grid_text(const SheetResult& sheet) {
    std::string text = std::to_string(sheet.columns) + " x " + std::to_string(sheet.rows);
    if (!sheet.drawn.empty() && sheet.drawn.front().side.empty()) {
        return text + " places for " +
               counted(static_cast<std::size_t>(sheet.columns * sheet.rows / 2), "card", "cards") +
               " a folded sheet";
    }
    text += " cards a sheet";
    std::optional<SizeMm> first;
    for (const SheetDrawing& page : sheet.drawn) {
        for (const SheetPlace& place : page.places) {
            if (!first) first = place.trim;
            if (place.trim.width == first->width && place.trim.height == first->height) continue;
            return text + ", other sizes on sheets of their own";
        }
    }
    return text;
}

std::string sheet_lines(const std::vector<SheetResult>& sheets) {
    std::string text;
    for (const SheetResult& sheet : sheets) {
        text += (text.empty() ? "Sheets     " : "           ") + sheet.file + ": " +
                counted(static_cast<std::size_t>(sheet.pages), "page", "pages") + ", " +
                grid_text(sheet);
        if (sheet.unused > 0) {
            text += ", " + counted(static_cast<std::size_t>(sheet.unused), "place", "places") +
                    " empty";
        }
        text += "\n";
        if (sheet.papers_shared > 0 && sheet.papers > sheet.papers_shared) {
            text += "           the gutter costs " +
                    counted(static_cast<std::size_t>(sheet.papers - sheet.papers_shared), "sheet",
                            "sheets") +
                    ": shared cuts take " + std::to_string(sheet.papers_shared) + ", not " +
                    std::to_string(sheet.papers) + "\n";
        }
    }
    return text;
}

/// What a wandering cut would do, for the whole deck and for the face that it harms most.
std::string cut_lines(const EditionResult& result) {
    std::size_t white = 0;
    std::size_t text = 0;
    std::size_t lopsided = 0;
    bool simulated = false;
    Mm wander;
    for (const FaceResult& face : result.faces) {
        if (!face.cut) continue;
        simulated = true;
        wander = face.cut->wander;
        white += face.cut->white.value > 0.0 ? 1U : 0U;
        text += face.cut->lost_lines > 0 ? 1U : 0U;
        lopsided += face.cut->lopsided > lopsided_limit ? 1U : 0U;
    }
    if (!simulated) return "";
    const std::string head = "Cut        " + millimeters(wander) + " off: ";
    if (white + text + lopsided == 0) return head + "no face would show it\n";
    return head + counted(white, "face shows", "faces show") + " white, " +
           counted(text, "loses", "lose") + " text, " + counted(lopsided, "has", "have") +
           " a lopsided border\n";
}

/// One line for each face that such a cut harms.
std::string cut_face_lines(const EditionResult& result) {
    std::string lines;
    for (const FaceResult& face : result.faces) {
        if (!face.cut || !shows(*face.cut)) continue;
        const CutResult& cut = *face.cut;
        std::string effects;
        const auto add = [&](const std::string& effect) {
            effects += (effects.empty() ? "" : ", ") + effect;
        };
        if (cut.white.value > 0.0) add(millimeters(cut.white) + " of white");
        if (cut.lost_lines > 0) {
            add(counted(static_cast<std::size_t>(cut.lost_lines), "line", "lines") +
                " of text cut");
        }
        if (cut.lopsided > lopsided_limit) {
            add(std::string("borders ") +
                (cut.lopsided_level ? "left and right " : "top and bottom ") +
                fixed(cut.lopsided, 1) + " : 1");
        }
        lines += "           " + face.name + ": " + effects + "\n";
    }
    return lines;
}

/// The errors or the warnings of one rule, in a line with the first of them.
struct RuleGroup {
    const Finding* first = nullptr;
    std::size_t count = 0;
    std::set<std::string> faces;
    std::vector<const Finding*> others;
};

/// The worst first, in the order of the report: errors before warnings, then as the rules stand.
std::vector<RuleGroup> groups_of(const std::vector<const Finding*>& list) {
    std::vector<RuleGroup> groups;
    for (const Finding* finding : list) {
        if (finding->severity == Severity::note) continue;
        auto group = std::ranges::find_if(groups, [&](const RuleGroup& g) {
            return g.first->rule == finding->rule && g.first->severity == finding->severity;
        });
        if (group == groups.end()) {
            group = groups.insert(groups.end(), RuleGroup{finding, 0, {}, {}});
        } else {
            group->others.push_back(finding);
        }
        ++group->count;
        group->faces.insert(finding->face);
    }
    std::ranges::stable_sort(groups, [](const RuleGroup& a, const RuleGroup& b) {
        if (a.first->severity != b.first->severity) return a.first->severity > b.first->severity;
        return a.first->rule < b.first->rule;
    });
    return groups;
}

/// The faces beside the first that have the same error: none of them may be overlooked.
std::string other_faces(const RuleGroup& group) {
    constexpr std::size_t most = 6;
    std::string names;
    std::size_t told = 0;
    for (const std::string& face : group.faces) {
        if (face == group.first->face || ++told > most) continue;
        names += (names.empty() ? "" : ", ") + face;
    }
    if (told > most) names += " and " + std::to_string(told - most) + " more";
    return names.empty() ? "" : "         also on " + names + "\n";
}

/// Each file that cannot be read has a reason of its own, and is mended before anything else.
std::string other_reasons(const RuleGroup& group) {
    constexpr std::size_t most = 9;
    std::string text;
    for (std::size_t i = 0; i < std::min(group.others.size(), most); ++i) {
        text += "         " + group.others[i]->face + ": " + group.others[i]->message + "\n";
    }
    if (group.others.size() <= most) return text;
    return text + "         and " + std::to_string(group.others.size() - most) +
           " more; the report shows all\n";
}

/// What to fix first: a line for each of the three worst, then the names of the others.
std::string group_lines(const std::vector<RuleGroup>& groups) {
    constexpr std::size_t most = 3;
    std::string text;
    std::string others;
    for (std::size_t i = 0; i < groups.size(); ++i) {
        const RuleGroup& group = groups[i];
        if (i >= most) {
            others += (others.empty() ? "" : ", ") + std::string(name(group.first->rule));
            continue;
        }
        text += "  " + std::string(name(group.first->severity)) + "  " +
                std::string(name(group.first->rule));
        if (group.count > 1) {
            text += ", " + std::to_string(group.count) + " on " +
                    counted(group.faces.size(), "face", "faces") + "; first";
        }
        text += ": " + (group.first->face.empty() ? "" : group.first->face + ": ") +
                group.first->message + "\n";
        if (group.first->rule == Rule::face_unreadable) {
            text += other_reasons(group);
        } else if (group.first->severity == Severity::error) {
            text += other_faces(group);
        }
    }
    return text + (others.empty() ? "" : "           also " + others + "; the report shows all\n");
}

/// What to do now. `look` is where the findings can be seen.
std::string next_line(const EditionResult& result, const std::vector<RuleGroup>& groups,
                      const std::string& look, const std::string& when_well) {
    const auto unread = static_cast<std::size_t>(
        std::ranges::count_if(result.faces, [](const FaceResult& face) { return !face.readable; }));
    if (unread > 0) {
        return "Next       mend " +
               counted(unread, "file that could not be read", "files that could not be read") +
               " (`paleproof explain face-unreadable`), then run this again\n";
    }
    if (!groups.empty() && groups.front().first->severity == Severity::error) {
        return "Next       " + look + ", and `paleproof explain " +
               std::string(name(groups.front().first->rule)) +
               "` says what to do; fix the errors before you send it\n";
    }
    return "Next       " + when_well + "\n";
}

/// A list may give every card no copies, say to look at faces alone: then there is no sheet.
std::string print_hint(const EditionResult& result) {
    return result.sheets.empty() ? "; no card has copies, so there are no sheets"
                                 : ", then print a sheet at 100 %";
}

/// Every finding but the notes, one a line.
std::string all_lines(const std::vector<const Finding*>& list) {
    std::string text;
    for (const Finding* finding : list) {
        if (finding->severity != Severity::note) text += finding_line(*finding);
    }
    return text;
}

/// What the ink comes to: money and cartridges where they are known, else pages of text.
std::string cost_lines(const EditionResult& result) {
    const report::InkCost cost = report::ink_cost(result);
    if (cost.source.pages <= 0.0) return "";
    std::string text = "Cost       ";
    if (result.cost) {
        const DeckCost& money = *result.cost;
        text += fixed(money.source, 2) + " " + money.currency + " of ink in color";
        if (money.proof) text += ", " + fixed(*money.proof, 2) + " as proofs";
    } else {
        const auto pages = [](double count) {
            return count < 0.95 ? fixed(count, 1) + " pages"
                                : counted(static_cast<std::size_t>(count + 0.5), "page", "pages");
        };
        text += "as much ink as " + pages(cost.source.pages) + " of text in color";
        if (cost.proof) text += ", " + pages(cost.proof->pages) + " as proofs";
        text += " (5 % of a page)";
    }
    for (std::size_t i = 0; i < result.cartridges.size(); ++i) {
        const auto& side = cost.proof ? *cost.proof : cost.source;
        text += "; " + percent(side.cartridge_share[i], 0) + " of cartridge " +
                result.cartridges[i].inks;
    }
    text += ", estimated\n";
    const auto& side = cost.proof ? *cost.proof : cost.source;
    std::string most;
    for (const std::size_t i : report::by_ink(result, cost)) {
        constexpr std::size_t shown = 3;
        if (static_cast<std::size_t>(std::ranges::count(most, '%')) == shown) break;
        if (side.face_share[i] <= 0.0) break;
        most += (most.empty() ? "" : ", ") + result.faces[i].name + " " +
                percent(side.face_share[i], 0);
    }
    return text + (most.empty() ? "" : "           most of it: " + most + "\n");
}

/// The cards that are not those of the edition that was in the folder.
std::string changed_line(const Changes& changes, const Job& job) {
    std::vector<std::string> names;
    for (const CardChange& card : changes.cards) {
        if (card.change != Change::unchanged) names.push_back(card.face);
    }
    if (names.empty()) return "";
    return "Changed    " + counted(names.size(), "card", "cards") +
           " since the edition that was there: " + some_names(names) +
           "\n           with --changed-since " + one_line(job.out.string()) +
           ", the next run makes sheets of such cards alone\n";
}

}  // namespace

std::string make_summary(const MadeEdition& made, const Job& job) {
    const EditionResult& result = made.result;
    const report::DeckSums sums = report::deck_sums(result);
    std::string text = deck_line(result) + left_out_lines(result) + size_lines(result);
    if (sums.source_ink && sums.proof_ink) {
        text += "Ink        " + percent(sums.source_ink->total) + " of a side in color (" +
                result.separation + "), " + percent(sums.proof_ink->total) + " in the " +
                result.style + " proofs: " + percent(sums.saved.value_or(0.0), 0) +
                " saved, estimated\n";
    }
    text += cost_lines(result);
    text += sheet_lines(result.sheets);
    if (made.changes) {
        text += changes_summary(*made.changes);
    } else if (made.changed_here) {
        text += changed_line(*made.changed_here, job);
    }
    const auto list = all_findings(result);
    const auto groups = groups_of(list);
    text += count_line(sums) + group_lines(groups);
    if (made.reused > 0) {
        text += "Reused     " + counted(static_cast<std::size_t>(made.reused), "proof", "proofs") +
                " of the edition that was there: nothing that they depend on changed\n";
    }
    text += "Made       " + one_line(job.out.string()) + "\n";
    const std::string look = "open " + one_line((job.out / "report.html").string());
    text += next_line(result, groups, look, look + print_hint(result));
    return text;
}

std::string check_summary(const MadeEdition& checked, const std::string& source) {
    const auto list = all_findings(checked.result);
    const report::DeckSums sums = report::deck_sums(checked.result);
    std::string text =
        deck_line(checked.result) + left_out_lines(checked.result) + size_lines(checked.result);
    if (sums.source_ink) {
        text += "Ink        " + percent(sums.source_ink->total) + " of a side in color (" +
                checked.result.separation + "), estimated\n";
    }
    text += cost_lines(checked.result);
    text += cut_lines(checked.result) + cut_face_lines(checked.result);
    const auto groups = groups_of(list);
    const std::string make = "paleproof make " + one_line(source);
    const std::string rule = groups.empty() ? "" : std::string(name(groups.front().first->rule));
    return text + count_line(sums) + all_lines(list) +
           next_line(checked.result, groups, "look at the faces named above",
                     rule.empty() ? make
                                  : "`paleproof explain " + rule + "` says what to do; `" + make +
                                        "` shows it on the faces");
}

std::string sheets_summary(const ImposedAgain& imposed, const Job& job) {
    std::string text = sheet_lines(imposed.sheets);
    if (imposed.changes) text += changes_summary(*imposed.changes);
    for (const std::string& file : imposed.test_pages) {
        text += "Test page  " + file + ": print both pages on one sheet at 100 %, then read it\n";
    }
    return text + "Made       " + one_line(job.out.string()) + "\n";
}

}  // namespace paleproof::app
