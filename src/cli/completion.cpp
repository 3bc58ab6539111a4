// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/reference.h"

namespace paleproof::cli {
namespace {

std::string joined(const std::vector<std::string>& words, std::string_view between) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : std::string(between)) + word;
    return text;
}

bool takes_file(const DescribedOption& option) {
    return option.value == "FILE" || option.name == "SOURCE";
}
bool takes_folder(const DescribedOption& option) {
    return option.value == "FOLDER" || option.name == "OUT";
}

/// Text between single quotes of a shell; `quote` is how one stands there.
std::string quoted(std::string_view text, std::string_view quote) {
    std::string result = "'";
    for (const char c : text) {
        if (c == '\'') {
            result += quote;
        } else {
            result += c;
        }
    }
    return result + "'";
}

/// For _arguments of zsh, where brackets and colons have a meaning.
std::string zsh_text(std::string_view text) {
    std::string result;
    for (const char c : text) {
        if (c == '[' || c == ']' || c == ':' || c == '\\') result += '\\';
        result += c;
    }
    return result;
}

std::string zsh_action(const DescribedOption& option) {
    if (!option.choices.empty()) return "(" + joined(option.choices, " ") + ")";
    if (takes_folder(option)) return "_files -/";
    return takes_file(option) ? "_files" : " ";
}

std::string zsh_spec(const DescribedOption& option, int& operand) {
    if (option.operand) {
        return std::to_string(++operand) + ":" + zsh_text(option.name) + ":" + zsh_action(option);
    }
    std::string names = option.name;
    std::string spec = "[" + zsh_text(option.help) + "]";
    if (!option.value.empty()) spec += ":" + zsh_text(option.value) + ":" + zsh_action(option);
    return names + spec;
}

std::string zsh_arguments(const std::vector<DescribedOption>& options) {
    std::string text;
    int operand = 0;
    for (const DescribedOption& option : options) {
        text += " \\\n        " + quoted(zsh_spec(option, operand), "'\\''");
        if (!option.letter.empty()) {
            DescribedOption letter = option;
            letter.name = option.letter;
            text += " \\\n        " + quoted(zsh_spec(letter, operand), "'\\''");
        }
    }
    return text;
}

std::string fish_line(const DescribedOption& option, const std::string& when) {
    std::string line = "complete -c paleproof -n " + quoted(when, "\\'");
    if (!option.operand) {
        line += " -l " + option.name.substr(2);
        if (!option.letter.empty()) line += " -s " + option.letter.substr(1);
    }
    if (!option.choices.empty()) {
        line += " -x -a " + quoted(joined(option.choices, " "), "\\'");
    } else if (takes_folder(option)) {
        line += " -x -a '(__fish_complete_directories)'";
    } else if (takes_file(option)) {
        line += " -r -F";
    } else if (!option.value.empty()) {
        line += " -x";
    }
    return line + " -d " + quoted(option.help, "\\'") + "\n";
}

}  // namespace

std::string bash_completion(const DescribedProgram& program) {
    std::vector<std::string> names;
    for (const DescribedCommand& command : program.commands) names.push_back(command.name);
    std::vector<std::string> common;
    for (const DescribedOption& option : program.options) common.push_back(option.name);
    std::string values;
    std::string words;
    for (const DescribedCommand& command : program.commands) {
        std::vector<std::string> here = common;
        std::string operands = "compopt -o default; COMPREPLY=()";
        for (const DescribedOption& option : command.options) {
            std::string reply;
            if (!option.choices.empty()) {
                reply =
                    "COMPREPLY=($(compgen -W '" + joined(option.choices, " ") + "' -- \"$cur\"))";
            } else if (takes_folder(option)) {
                reply = "compopt -o filenames; COMPREPLY=($(compgen -d -- \"$cur\"))";
            } else if (takes_file(option)) {
                reply = "compopt -o filenames; COMPREPLY=($(compgen -f -- \"$cur\"))";
            }
            if (option.operand) {
                if (!reply.empty()) operands = reply;
                continue;
            }
            here.push_back(option.name);
            if (option.value.empty()) continue;
            values += "        " + command.name + ":" + option.name +
                      (option.letter.empty() ? "" : " | " + command.name + ":" + option.letter) +
                      ")\n            " + (reply.empty() ? "COMPREPLY=()" : reply) +
                      "\n            return ;;\n";
        }
        words += "        " + command.name + ")\n            if [[ $cur == -* ]]; then\n" +
                 "                COMPREPLY=($(compgen -W '" + joined(here, " ") +
                 "' -- \"$cur\"))\n            else\n                " + operands +
                 "\n            fi ;;\n";
    }
    return "# Completion of paleproof for bash, written by `paleproof reference bash`.\n"
           "_paleproof() {\n"
           "    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command= "
           "word\n"
           "    for word in \"${COMP_WORDS[@]:1:COMP_CWORD-1}\"; do\n"
           "        if [[ $word != -* ]]; then command=$word; break; fi\n"
           "    done\n"
           "    case $command:$prev in\n" +
           values +
           "    esac\n"
           "    case $command in\n" +
           words + "        *)\n            COMPREPLY=($(compgen -W '" + joined(names, " ") + " " +
           joined(common, " ") +
           "' -- \"$cur\")) ;;\n"
           "    esac\n"
           "}\n"
           "complete -F _paleproof paleproof\n";
}

std::string zsh_completion(const DescribedProgram& program) {
    std::string commands;
    std::string cases;
    for (const DescribedCommand& command : program.commands) {
        commands +=
            "        " + quoted(command.name + ":" + zsh_text(command.help), "'\\''") + "\n";
        std::vector<DescribedOption> options = command.options;
        for (const DescribedOption& option : program.options) {
            if (option.name != "--help" && option.name != "--version") options.push_back(option);
        }
        cases += "    " + command.name + ")\n        _arguments" + zsh_arguments(options) + " ;;\n";
    }
    return "#compdef paleproof\n"
           "# Completion of paleproof for zsh, written by `paleproof reference zsh`.\n"
           "_paleproof() {\n"
           "    local curcontext=$curcontext state line\n"
           "    local -a commands\n"
           "    commands=(\n" +
           commands + "    )\n    _arguments -C" + zsh_arguments(program.options) +
           " \\\n        '1:command:->command' \\\n        '*::arguments:->arguments'\n"
           "    case $state in\n"
           "    command) _describe command commands ;;\n"
           "    arguments)\n    case $words[1] in\n" +
           cases +
           "    esac ;;\n"
           "    esac\n"
           "}\n"
           "_paleproof \"$@\"\n";
}

std::string fish_completion(const DescribedProgram& program) {
    std::string text =
        "# Completion of paleproof for fish, written by `paleproof reference fish`.\n"
        "complete -c paleproof -f\n";
    for (const DescribedOption& option : program.options) text += fish_line(option, "true");
    for (const DescribedCommand& command : program.commands) {
        text += "complete -c paleproof -n __fish_use_subcommand -a " + command.name + " -d " +
                quoted(command.help, "\\'") + "\n";
        for (const DescribedOption& option : command.options) {
            if (option.name == "--help") continue;
            text += fish_line(option, "__fish_seen_subcommand_from " + command.name);
        }
    }
    return text;
}

}  // namespace paleproof::cli
