// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"
#include "twintrack/core/error.hpp"

namespace {

enum class Colour { red, green };

constexpr std::array<std::pair<Colour, const char*>, 2> names(twintrack::Tag<Colour>) {
    return {{{Colour::red, "red"}, {Colour::green, "green"}}};
}

struct Wheel {
    double radius = 0.3;
};

const twintrack::Description& description(twintrack::Tag<Wheel>) {
    static const auto described = twintrack::describe<Wheel>({{&Wheel::radius, "radius", "m", "radius", {0.1, 1.0}}});
    return described;
}

struct Cart {
    Colour colour = Colour::red;
    int doors = 2;
    bool roof = false;
    std::optional<double> load;
    std::vector<double> gears = {1.0, 2.0};
    std::optional<Wheel> spare;
    std::vector<Wheel> wheels = {Wheel{}, Wheel{}};
};

void check(const Cart& cart, const std::string& path);

const twintrack::Description& description(twintrack::Tag<Cart>) {
    static const auto described = twintrack::describe<Cart>({{&Cart::colour, "colour", "", "colour"},
                                                             {&Cart::doors, "doors", "", "doors", {1.0, 5.0}},
                                                             {&Cart::roof, "roof", "", "has a roof"},
                                                             {&Cart::load, "load", "kg", "load", {0.0, 500.0}},
                                                             {&Cart::gears, "gears", "", "gear ratios", {0.5, 4.0}},
                                                             {&Cart::spare, "spare", "", "spare wheel"},
                                                             {&Cart::wheels, "wheels", "", "wheels", {2.0, 4.0}}});
    return described;
}

void check(const Cart& cart, const std::string& path) {
    if (cart.doors == 5 && !cart.roof) throw twintrack::InvalidParameter(path + ".roof", "five doors need a roof");
}

TEST(Fields, EveryKindOfNumberIsGuarded) { support::expect_every_field_guarded<Cart>(); }

TEST(Fields, ListsOfPartsAreCountedAndLookedInto) {
    support::expect_refused<Cart>("part.wheels", [](Cart& c) { c.wheels.resize(1); });
    support::expect_refused<Cart>("part.wheels", [](Cart& c) { c.wheels.resize(5); });
    support::expect_refused<Cart>("part.wheels[2].radius", [](Cart& c) { c.wheels[1].radius = 9.0; });
    support::expect_refused<Cart>("part.gears[2]", [](Cart& c) { c.gears[1] = NAN; });
}

TEST(Fields, AnAbsentNumberIsFineAndAPresentOneIsChecked) {
    Cart cart;
    EXPECT_NO_THROW(twintrack::validate(cart));
    cart.load = 100.0;
    EXPECT_NO_THROW(twintrack::validate(cart));
}

TEST(Fields, AnAbsentPartIsFineAndAPresentOneIsLookedInto) {
    Cart cart;
    cart.spare.emplace();
    EXPECT_NO_THROW(twintrack::validate(cart));
    support::expect_refused<Cart>("part.spare.radius", [](Cart& c) { c.spare = Wheel{.radius = 9.0}; });
}

TEST(Fields, AreEqualWhenEveryFieldIs) {
    const auto& described = description(twintrack::Tag<Cart>{});
    const std::vector<void (*)(Cart&)> changes = {[](Cart& c) { c.colour = Colour::green; },
                                                  [](Cart& c) { c.doors = 3; },
                                                  [](Cart& c) { c.roof = true; },
                                                  [](Cart& c) { c.load = 1.0; },
                                                  [](Cart& c) { c.gears[1] = 2.5; },
                                                  [](Cart& c) { c.spare.emplace(); },
                                                  [](Cart& c) { c.wheels[1].radius = 0.4; },
                                                  [](Cart& c) { c.wheels.emplace_back(); }};
    const Cart plain;
    for (const auto& change : changes) {
        Cart other;
        EXPECT_TRUE(twintrack::equal(described, &plain, &other));
        change(other);
        EXPECT_FALSE(twintrack::equal(described, &plain, &other));
        EXPECT_FALSE(twintrack::equal(described, &other, &plain));
        described.assign(&other, &plain);
        EXPECT_TRUE(twintrack::equal(described, &plain, &other));
    }
}

TEST(Fields, AreFoundByName) {
    const auto& described = description(twintrack::Tag<Cart>{});
    ASSERT_NE(described.find("doors"), nullptr);
    Cart cart;
    described.find("doors")->as<int>(&cart) = 4;
    EXPECT_EQ(cart.doors, 4);
    EXPECT_EQ(described.find("door"), nullptr);
    EXPECT_EQ(described.field_names(), "colour, doors, roof, load, gears, spare, wheels");
}

TEST(Fields, RulesAcrossFieldsComeAfterTheFields) {
    support::expect_refused<Cart>("part.roof", [](Cart& c) { c.doors = 5; });
}

TEST(Fields, TheRefusalSaysWhatWasGivenAndWhatIsAllowed) {
    try {
        twintrack::validate(Wheel{.radius = 2.5}, "cart.wheel");
        FAIL();
    } catch (const twintrack::InvalidParameter& refusal) {
        EXPECT_STREQ(refusal.what(), "cart.wheel.radius: radius is 2.5 m; allowed: 0.1 to 1 m");
    }
}

TEST(Fields, RangesInWords) {
    EXPECT_EQ(twintrack::describe({0.0, 2.0}, "V"), "0 to 2 V");
    EXPECT_EQ(twintrack::describe({.least = 1.0}, ""), "at least 1");
    EXPECT_EQ(twintrack::describe({.most = 3.0}, "A"), "at most 3 A");
    EXPECT_EQ(twintrack::describe({}, "A"), "any finite number");
}

TEST(Fields, EnumerationsHaveNames) { EXPECT_STREQ(twintrack::name_of(Colour::green), "green"); }

}  // namespace
