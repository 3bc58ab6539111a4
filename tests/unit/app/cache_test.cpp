// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/cache.h"

#include <doctest/doctest.h>

#include <array>
#include <fstream>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "support/scratch.h"

using namespace paleproof;
using namespace paleproof::app;

namespace {

struct Inner {
    double number = 0.0;
    std::optional<Mm> length;
    friend bool operator==(const Inner&, const Inner&) = default;
};

struct Outer {
    bool yes = false;
    std::string text;
    std::vector<Inner> inner;
    std::array<int, 3> three{};
    std::pair<int, std::string> pair;
    std::vector<std::uint8_t> bytes;
    std::optional<std::string> maybe;
    Severity severity = Severity::note;
    friend bool operator==(const Outer&, const Outer&) = default;
};

Outer sample() {
    return {true,       "a\0b\n\xff",   {{0.1, Mm{3.0}}, {-1.0 / 3.0, std::nullopt}},
            {1, -2, 3}, {7, "x"},       {0, 255},
            "",         Severity::error};
}

std::filesystem::path only_entry(const std::filesystem::path& out) {
    return std::filesystem::directory_iterator(out / ".paleproof-cache")->path();
}

FaceWork face() {
    FaceWork work;
    work.result.name = "Lampwing";
    work.result.copies = 2;
    work.source_hash = "0123";
    work.plan.ink_budget = 0.12;
    return work;
}

}  // namespace

TEST_CASE("members of a struct are counted, strings, optionals and arrays as one each") {
    CHECK(member_count<Inner>() == 2);
    CHECK(member_count<Outer>() == 8);
    CHECK(member_count<Mm>() == 1);
    CHECK(member_count<RectPx>() == 4);
    CHECK(member_count<Edges<std::optional<Mm>>>() == 4);
}

TEST_CASE("what was written as bytes is read again, and nothing less or more is taken for whole") {
    const std::string bytes = ByteWriter()(sample()).bytes();
    Outer read;
    ByteReader reader(bytes);
    reader(read);
    CHECK(reader.whole());
    CHECK(read == sample());
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        ByteReader part(std::string_view(bytes).substr(0, size));
        Outer cut;
        part(cut);
        CHECK_FALSE(part.whole());
    }
    const std::string more = bytes + "x";
    ByteReader longer(more);
    longer(read);
    CHECK_FALSE(longer.whole());
}

TEST_CASE("an entry is found by its key; damaged, cut or empty it counts as none") {
    const test::Scratch scratch("cache");
    Cache cache(scratch.path());
    Outer value;
    CHECK_FALSE(cache.load("proof-a", value));
    cache.store("proof-a", sample());
    CHECK(cache.load("proof-a", value));
    CHECK(value == sample());
    CHECK_FALSE(cache.load("proof-b", value));

    const auto file = only_entry(scratch.path());
    const std::string whole = test::read_text(file);
    for (std::size_t at = 0; at < whole.size(); at += 7) {
        std::string damaged = whole;
        damaged[at] = static_cast<char>(damaged[at] ^ 0x20);
        std::ofstream(file, std::ios::binary) << damaged;
        CHECK_FALSE(cache.load("proof-a", value));
    }
    std::ofstream(file, std::ios::binary) << whole.substr(0, whole.size() - 1);
    CHECK_FALSE(cache.load("proof-a", value));
    std::ofstream(file, std::ios::binary) << "";
    CHECK_FALSE(cache.load("proof-a", value));
}

TEST_CASE("an entry of another struct is none, though it is whole") {
    const test::Scratch scratch("cache-other");
    Cache cache(scratch.path());
    cache.store("proof-a", Inner{1.0, Mm{2.0}});
    Outer value;
    CHECK_FALSE(cache.load("proof-a", value));
}

TEST_CASE("entries that a run did not need are forgotten, others stay") {
    const test::Scratch scratch("cache-old");
    {
        Cache earlier(scratch.path());
        earlier.store("proof-old", 1);
        earlier.store("proof-kept", 2);
    }
    Cache cache(scratch.path());
    int value = 0;
    CHECK(cache.load("proof-kept", value));
    cache.store("proof-new", 3);
    cache.forget_unused();
    CHECK_FALSE(cache.load("proof-old", value));
    CHECK(cache.load("proof-kept", value));
    CHECK(value == 2);
    CHECK(cache.load("proof-new", value));
}

TEST_CASE("a cache that cannot be written is no fault") {
    const test::Scratch scratch("cache-file");
    scratch.write(".paleproof-cache", "a file is in the way");
    Cache cache(scratch.path());
    cache.store("proof-a", 1);
    int value = 0;
    CHECK_FALSE(cache.load("proof-a", value));
    cache.forget_unused();
}

TEST_CASE(
    "the key of a proof follows its plan, survey and options, not copies, threads or sheets") {
    const FaceWork work = face();
    const Job job;
    const std::string key = proof_key(work, job);
    CHECK(key == proof_key(face(), Job()));

    FaceWork other = face();
    other.plan.bleed_px.left = 1;
    CHECK(proof_key(other, job) != key);
    other = face();
    other.patterns.emplace_back();
    CHECK(proof_key(other, job) != key);
    other = face();
    other.source_hash = "0124";
    CHECK(proof_key(other, job) != key);
    other = face();
    other.result.text.emplace_back();
    CHECK(proof_key(other, job) != key);
    other = face();
    other.worst_cut.emplace();
    CHECK(proof_key(other, job) != key);
    other = face();
    other.result.copies = 9;
    other.result.back = "Back";
    CHECK(proof_key(other, job) == key);

    Job asked;
    asked.style = Style::line;
    CHECK(proof_key(work, asked) != key);
    asked = Job();
    asked.bleed = Mm{3.0001};
    CHECK(proof_key(work, asked) != key);
    asked = Job();
    asked.text.min_contrast = 4.6;
    CHECK(proof_key(work, asked) != key);
    asked = Job();
    asked.separation = "coated";
    CHECK(proof_key(work, asked) != key);
    asked = Job();
    asked.threads = 7;
    asked.title = "Other";
    asked.papers = {"a3"};
    asked.out = "elsewhere";
    asked.faces = "elsewhere";
    CHECK(proof_key(work, asked) == key);
}

TEST_CASE("the key of a survey follows the file and what a survey is asked, not the style") {
    const FaceWork work = face();
    const std::string key = survey_key("00", work, Job());
    CHECK(survey_key("01", work, Job()) != key);
    Job asked;
    asked.style = Style::hatch;
    asked.ink_budget = 0.2;
    CHECK(survey_key("00", work, asked) == key);
    asked.min_ppi = 299.0;
    CHECK(survey_key("00", work, asked) != key);
    FaceWork renamed = face();
    renamed.result.name = "Owl";
    CHECK(survey_key("00", renamed, Job()) != key);
}

TEST_CASE("a profile counts by its content, not by its name") {
    const test::Scratch scratch("cache-profile");
    const auto file = scratch.write("paper.icc", "one");
    Job job;
    job.separation = file.string();
    const std::string key = proof_key(face(), job);
    scratch.write("paper.icc", "two");
    CHECK(proof_key(face(), job) != key);
}
