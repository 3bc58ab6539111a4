// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job_file.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>
#include <utility>

#include "app/job_guess.h"
#include "app/options.h"
#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using app::Job;
using app::read_job_file;
using test::Scratch;

namespace {

std::string fault_of(const Scratch& scratch, std::string_view content) {
    const auto file = scratch.write("job.toml", content);
    Job job;
    try {
        read_job_file(file, job);
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

bool says(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("pins, cartridges and limits of twins come from the job file, and go back into one") {
    const Scratch scratch("color");
    const auto file = scratch.write("job.toml", R"(
[look]
style = "gray"
[look.pins]
"#b03030" = 0.25
"#3050A0" = 0.7
[legible]
told_apart = 25
min_gray_difference = 12
min_vision_difference = 8
vision_severity = 0.6
[ink]
intent = "perceptual"
cartridges = ["k:19.90/480", "cmy:/300"]
currency = "NOK"
)");
    Job job;
    read_job_file(file, job);
    REQUIRE(job.pins.size() == 2);
    const auto& red = job.pins[0].color.r == 0xb0 ? job.pins[0] : job.pins[1];
    CHECK(red.color == color::Rgb8{0xb0, 0x30, 0x30});
    CHECK(red.gray == 0.25);
    CHECK(job.twins.told_apart == 25.0);
    CHECK(job.twins.min_gray_difference == 12.0);
    CHECK(job.twins.min_vision_difference == 8.0);
    CHECK(job.twins.vision_severity == 0.6);
    CHECK(job.intent == color::Intent::perceptual);
    CHECK(job.currency == "NOK");
    REQUIRE(job.cartridges.size() == 2);
    CHECK(job.cartridges[0].inks == "k");
    CHECK(job.cartridges[0].price == 19.9);
    CHECK(job.cartridges[0].pages == 480.0);
    CHECK(job.cartridges[1].price == 0.0);

    Job again;
    read_job_file(scratch.write("again.toml", app::job_file_text(job)), again);
    CHECK(app::job_file_text(again) == app::job_file_text(job));
    CHECK(again.pins.size() == 2);
}

TEST_CASE("pins and cartridges that make no sense are refused with what was expected") {
    const Scratch scratch("refused");
    CHECK(says(fault_of(scratch, "[look.pins]\n\"red\" = 0.5\n"), "#b03030=0.25"));
    CHECK(says(fault_of(scratch, "[look.pins]\n\"#808080\" = 0.5\n"), "#808080"));
    CHECK(says(fault_of(scratch, "[look.pins]\n\"#b03030\" = 2\n"), "0 to 1"));
    CHECK(says(fault_of(scratch, "[ink]\ncartridges = [\"k:20\"]\n"), "k:19.90/480"));
    CHECK(says(fault_of(scratch, "[ink]\ncartridges = [\"k:20/480\", \"cmyk:9/90\"]\n"),
               "one cartridge"));
    CHECK(says(fault_of(scratch, "[legible]\nvision_severity = 1.5\n"), "0 to 1"));
}

TEST_CASE("a job file sets every key") {
    const Scratch scratch("all");
    const auto file = scratch.write("job.toml", R"(
[deck]
faces = "cards"
title = "Night Orchard"
size = "2.5x3.5in"
bleed = "0.125in"
safe = "4mm"
max_megapixels = 60
[look]
style = "color"
ink_budget = "8%"
[legible]
min_text = "7pt"
text = "clear-print"
min_reversed_text = "13pt"
min_x_height = "1mm"
min_reversed_x_height = "1.3mm"
min_contrast = 5
min_large_contrast = 3.5
min_paper_contrast = 3.25
min_ppi = 250
[ink]
separation = "coated"
total_limit = "280%"
[sheets]
papers = ["a4", "200x300mm"]
layout = "fold"
orientation = "landscape"
duplex = "long-edge"
backs = "none"
back_shift = ["0.5mm", "-1mm"]
margin = "0.25in"
gutter = "4mm"
guides = "ticks"
)");
    Job job;
    read_job_file(file, job);
    CHECK(job.faces == scratch / "cards");
    CHECK(job.title == "Night Orchard");
    CHECK(job.size->height.value == doctest::Approx(88.9));
    CHECK(job.bleed.value == doctest::Approx(3.175));
    CHECK(job.text.safe.value == 4.0);
    CHECK(job.max_megapixels == 60.0);
    CHECK(job.style == app::Style::color);
    CHECK(*job.ink_budget == doctest::Approx(0.08));
    CHECK(job.min_ppi == 250.0);
    CHECK(job.text.min_text == doctest::Approx(7.0));
    CHECK(job.text.min_reversed_text == doctest::Approx(13.0));
    CHECK(job.text.min_x_height.value == 1.0);
    CHECK(job.text.min_reversed_x_height.value == 1.3);
    CHECK(job.text.min_contrast == 5.0);
    CHECK(job.text.min_large_contrast == 3.5);
    CHECK(job.text.min_paper_contrast == 3.25);
    CHECK(job.separation == "coated");
    CHECK(*job.total_limit == doctest::Approx(2.8));
    CHECK(job.papers == std::vector<std::string>{"a4", "200x300mm"});
    CHECK(job.sheets.layout == sheet::Layout::fold);
    CHECK(job.sheets.orientation == sheet::Orientation::landscape);
    CHECK(job.sheets.duplex == sheet::Duplex::long_edge);
    CHECK(job.sheets.backs == sheet::Backs::none);
    CHECK(job.sheets.back_shift_x.value == 0.5);
    CHECK(job.sheets.back_shift_y.value == -1.0);
    CHECK(job.sheets.margin.value == doctest::Approx(6.35));
    CHECK(job.sheets.gutter.value == 4.0);
    CHECK(job.sheets.guides == sheet::Guides::ticks);
}

TEST_CASE("lists may stand in one text with commas, as on the command line") {
    const Scratch scratch("commas");
    Job job;
    read_job_file(scratch.write("job.toml",
                                "[sheets]\npapers = \"letter,a4\"\nback_shift = \"1mm,-2mm\"\n"
                                "[ink]\ncartridges = \"k:/480,cmy:/300\"\n"),
                  job);
    CHECK(job.papers == std::vector<std::string>{"letter", "a4"});
    CHECK(job.sheets.back_shift_x.value == 1.0);
    CHECK(job.sheets.back_shift_y.value == -2.0);
    CHECK(job.cartridges.size() == 2);
}

TEST_CASE("paths are relative to the job file, also in one that is made from another elsewhere") {
    const Scratch scratch("paths");
    scratch.write("art/cards/a.png", "");
    const auto file = scratch.write("art/deck.toml",
                                    "[deck]\nfaces = \"cards\"\n[ink]\nseparation = \"press.ICM\"\n"
                                    "[run]\nout = \"mine\"\nchanged_since = \"old\"\n");
    Job job;
    read_job_file(file, job);
    CHECK(job.separation == (scratch / "art/press.ICM").string());
    const std::string text = app::guessed_job_file(file, scratch / "jobs");
    Job again;
    read_job_file(scratch.write("jobs/new.toml", text), again);
    for (const auto& [path, original] :
         {std::pair{again.faces, job.faces},
          {again.out, job.out},
          {again.changed_since, job.changed_since},
          {std::filesystem::path(again.separation), std::filesystem::path(job.separation)}}) {
        CHECK(path.lexically_normal() == original.lexically_normal());
    }
}

TEST_CASE("without faces the job file's own folder is the deck") {
    const Scratch scratch("own");
    Job job;
    read_job_file(scratch.write("job.toml", "[look]\nstyle = \"gray\"\n"), job);
    CHECK(job.faces == scratch.path());
}

TEST_CASE("an unknown key or section is an error that names the nearest known one") {
    const Scratch scratch("unknown");
    CHECK(says(fault_of(scratch, "[look]\nink_bugdet = \"8%\"\n"),
               "look.ink_bugdet: no such key, line 2"));
    CHECK(says(fault_of(scratch, "[look]\nink_bugdet = \"8%\"\n"), "did you mean ink_budget?"));
    CHECK(says(fault_of(scratch, "[looks]\n"), "did you mean look?"));
    CHECK(says(fault_of(scratch, "style = \"gray\"\n"),
               "style: no such section, line 1, column 9; the key belongs below [look]"));
    CHECK(says(fault_of(scratch, "[bleed]\n"), "bleed: no such section, line 1"));
    CHECK(says(fault_of(scratch, "[deck]\nmargin = \"3mm\"\n"), "deck.margin: no such key"));
}

TEST_CASE("wrong values name the key, what was expected and what was found") {
    const Scratch scratch("values");
    CHECK(says(fault_of(scratch, "[deck]\nbleed = 3\n"),
               "bleed: expected a length with a unit, like 3mm, 0.125in or 7pt, got '3'"));
    CHECK(says(fault_of(scratch, "[deck]\nbleed = \"11mm\"\n"), "at most 10 mm"));
    CHECK(says(fault_of(scratch, "[look]\nstyle = \"grey\"\n"),
               "expected one of color, tint, gray, line, hatch, got 'grey'"));
    CHECK(says(fault_of(scratch, "[sheets]\npapers = []\n"), "at least one value"));
    CHECK(says(fault_of(scratch, "[sheets]\npapers = [\"a5x\"]\n"), "papers"));
    CHECK(says(fault_of(scratch, "[look]\nstyle = { a = 1 }\n"), "expected a text or a number"));
    CHECK(says(fault_of(scratch, "[look\n"), "expected TOML, with texts and lengths in quotes; "));
    CHECK(says(fault_of(scratch, "[sheets]\nback_shift = [\"1mm\", \"2mm\", \"3mm\"]\n"),
               "back_shift: expected two lengths like 0.5mm,-1mm, got '1mm,2mm,3mm'"));
    CHECK(says(fault_of(scratch, "[sheets]\ngutter = \"bled\"\n"),
               "gutter: expected a length like 4mm, or bleed, got 'bled'; did you mean bleed?"));
    CHECK(says(fault_of(scratch, "[deck]\nbleed_method = [\"flat\", \"none\"]\n"),
               "expected one method, or four: top,right,bottom,left, got 'flat,none'"));
}

TEST_CASE("a written job file reads back as the same settings") {
    const Scratch scratch("round");
    Job job;
    job.faces = "cards";
    job.title = "The \"Orchard\"\nat C:\\night\t\x7F";
    job.size = SizeMm{{44.45}, {63.5}};
    job.bleed = Mm{3.175};
    job.ink_budget = 0.085;
    job.papers = {"a4"};
    job.sheets.back_shift_y = Mm{-0.25};
    const std::string text = app::job_file_text(job);
    Job again;
    read_job_file(scratch.write("job.toml", text), again);
    again.faces = "cards";
    CHECK(app::job_file_text(again) == text);
    CHECK(again.title == job.title);
    CHECK(again.size->width.value == 44.45);
    CHECK(again.sheets.back_shift_y.value == -0.25);
}

TEST_CASE("every option has a section, help and a key of its own") {
    std::set<std::string_view> keys;
    for (const app::Option& option : app::options()) {
        CAPTURE(option.key);
        CHECK(keys.insert(option.key).second);
        CHECK(option.help.size() > 10);
        if (option.values.empty()) {  // a switch
            app::Job job;
            option.set(job, {"true"});
            CHECK(option.get(job) == "true");
        }
        CHECK(app::find_option(option.key) == &option);
    }
    CHECK(app::flag(*app::find_option("ink_budget")) == "--ink-budget");
}
