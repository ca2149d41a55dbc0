// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"

/// One list of fields per parameter struct drives everything: validation, Python attributes and constructors, type
/// stubs, study files and the printed tables. The list is turned once into plain values, so that what works on it is
/// compiled once, not once per struct.
namespace twintrack {

enum class Kind {
    number,           ///< double
    integer,          ///< int
    flag,             ///< bool
    text,             ///< std::string
    choice,           ///< a named enumeration
    numbers,          ///< std::vector<double>
    optional_number,  ///< std::optional<double>
    part,             ///< a described struct
    optional_part,    ///< std::optional of one
    parts,            ///< std::vector of one
};

/// How a value of one C++ type is looked at and changed where only its address is known. What a kind does not need is
/// null. An optional part is a list of at most one.
struct Type {
    Kind kind;
    const Description& (*part)() = nullptr;  ///< what a part, an optional part or each entry of parts is
    std::size_t (*count)(const void* list) = nullptr;
    const void* (*entry)(const void* list, std::size_t index) = nullptr;
    void (*clear)(void* list) = nullptr;
    void* (*append)(void* list) = nullptr;         ///< a default entry, returned
    std::vector<const char*> choices{};            ///< names of the enumerators
    const char* (*chosen)(const void*) = nullptr;  ///< name of the value; empty for one that has none
    void (*choose)(void*, std::size_t index) = nullptr;
};

struct Field {
    const char* name;
    const char* unit;     ///< SI text ("ohm", "N*m/rad"), empty for numbers without dimension
    const char* meaning;  ///< one phrase, shown in errors, help and docstrings
    Range range;          ///< for numbers and each entry of lists; for lists of parts it bounds their count
    const Type* type;
    std::size_t offset;  ///< of the member in its owner

    [[nodiscard]] const void* in(const void* owner) const noexcept { return static_cast<const char*>(owner) + offset; }
    [[nodiscard]] void* in(void* owner) const noexcept { return static_cast<char*>(owner) + offset; }

    /// The member as V, which must be its type.
    template <class V>
    [[nodiscard]] const V& as(const void* owner) const noexcept {
        return *static_cast<const V*>(in(owner));
    }
    template <class V>
    [[nodiscard]] V& as(void* owner) const noexcept {
        return *static_cast<V*>(in(owner));
    }
};

/// A struct as its field list says it.
struct Description {
    std::vector<Field> fields;
    void (*check)(const void* value, const std::string& path);  ///< cross-field rules; may be null
    void* (*make)();                                            ///< a default one
    void (*destroy)(void* value) noexcept;
    void (*assign)(void* target, const void* source);

    [[nodiscard]] const Field* find(const std::string& name) const noexcept;
    [[nodiscard]] std::string field_names() const;  ///< separated by commas
};

/// A value of a described struct, held by its address.
class OwnedValue {
public:
    explicit OwnedValue(const Description& d) : description_(&d), value_(d.make()) {}
    ~OwnedValue() {
        if (value_) description_->destroy(value_);
    }
    OwnedValue(OwnedValue&& other) noexcept : description_(other.description_), value_(other.release()) {}
    OwnedValue(const OwnedValue&) = delete;
    OwnedValue& operator=(const OwnedValue&) = delete;
    [[nodiscard]] void* get() const noexcept { return value_; }
    [[nodiscard]] void* release() noexcept { return std::exchange(value_, nullptr); }

private:
    const Description* description_;
    void* value_;
};

/// Whether two values of the struct are equal in every field.
[[nodiscard]] bool equal(const Description& description, const void* a, const void* b);

}  // namespace twintrack
