// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/reference.h"

namespace paleproof::cli {
namespace {

/// Text that troff sets as it stands: hyphens stay hyphens, a line never starts a request.
std::string set(std::string_view text) {
    std::string result;
    for (const char c : text) {
        if (c == '\\') {
            result += "\\e";
        } else if (c == '-') {
            result += "\\-";
        } else {
            result += c;
        }
    }
    const bool request = !result.empty() && (result[0] == '.' || result[0] == '\'');
    return request ? "\\&" + result : result;
}

std::string entry(const DescribedOption& option) {
    std::string text = ".TP\n";
    text += option.operand ? "\\fI" + set(option.name) + "\\fR"
                           : (option.letter.empty() ? "" : "\\fB" + set(option.letter) + "\\fR, ") +
                                 "\\fB" + set(option.name) + "\\fR";
    if (!option.value.empty()) text += " \\fI" + set(option.value) + "\\fR";
    return text + "\n" + set(option.help) + "\n";
}

std::string entries(const std::vector<DescribedOption>& options) {
    std::string text;
    std::string section;
    for (const DescribedOption& option : options) {
        if (option.section != section) {
            section = option.section;
            text += ".PP\nKeys of [" + set(section) + "] in the job file:\n";
        }
        text += entry(option);
    }
    return text;
}

/// The lines of --help, unfilled.
std::string examples(const std::string& text) {
    std::string result = ".nf\n";
    std::size_t start = text.find('\n') + 1;  // without the title
    while (start < text.size()) {
        const std::size_t end = std::min(text.find('\n', start), text.size());
        result += set(text.substr(start, end - start)) + "\n";
        start = end + 1;
    }
    return result + ".fi\n";
}

}  // namespace

std::string manual_page(const DescribedProgram& program) {
    std::string text =
        ".\\\" Written by `paleproof reference man` from the tables of the command line.\n"
        ".TH PALEPROOF 1 \"\" \"paleproof " PALEPROOF_VERSION
        "\" \"User Commands\"\n"
        ".SH NAME\npaleproof \\- low\\-ink, proven\\-legible editions of card faces\n"
        ".SH SYNOPSIS\n";
    for (const DescribedCommand& command : program.commands) {
        text += ".B paleproof " + set(command.name) + "\n";
        for (const DescribedOption& option : command.options) {
            if (!option.operand) continue;
            text += option.name == "RULE" ? "[\\fIRULE\\fR]\n" : ".I " + set(option.name) + "\n";
        }
        text += "[\\fIoptions\\fR]\n.br\n";
    }
    text +=
        ".SH DESCRIPTION\n"
        "Takes the full\\-color faces of a tabletop card game and makes a low\\-ink edition of "
        "them: proofs that are measured again for what they must keep, bleed where the art has "
        "none, true\\-size pages, print\\-ready sheets, and a report of what to look at. SOURCE is "
        "a folder of PNG and JPEG faces, a deck list (CSV with the columns face, name, copies, "
        "back), or a job file (TOML). Lengths carry a unit: 3mm, 0.125in, 7pt.\n"
        ".PP\nResults go to standard output, messages and progress to standard error.\n"
        ".SH OPTIONS\n" +
        entries(program.options) + ".SH COMMANDS\n";
    for (const DescribedCommand& command : program.commands) {
        text += ".SS paleproof " + set(command.name) + "\n" + set(command.help) + "\n" +
                entries(command.options) + ".PP\nExamples:\n" + examples(command.examples);
    }
    return text +
           ".SH EXIT STATUS\n"
           ".TP\n.B 0\ndone\n"
           ".TP\n.B 2\nnot done: usage, input or internal error, or some face could not be read\n"
           ".TP\n.B 3\ndone, with findings of severity error\n"
           ".TP\n.B 130\ninterrupted; the edition that was there is whole\n"
           ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\n"
           "when set and not empty, no colors on a terminal. They only repeat what words say.\n"
           ".SH CAUTIONS\n"
           "Cutting tools are sharp: cut away from the hand, on a mat, against a steel rule. Ink "
           "and cost are estimates. Color\\-vision simulation is no medical test.\n";
}

}  // namespace paleproof::cli
