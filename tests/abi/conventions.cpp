// The conventions of the C interface, from a C++17 program: what owns is freed by its destructor.
#include "conventions.h"

#include <memory>
#include <stdexcept>
#include <string>

namespace {

struct Free {
    void operator()(char *text) const { gw_string_free(text); }
    void operator()(gw_error *error) const { gw_error_free(error); }
};

std::string ask(const std::string &question, const std::string &request) {
    char *answer = nullptr;
    gw_error *error = nullptr;
    const gw_status status = gw_ask(question.c_str(), request.c_str(), &answer, &error);
    const std::unique_ptr<char, Free> owned_answer(answer);
    const std::unique_ptr<gw_error, Free> owned_error(error);
    if (status != GW_OK) {
        throw std::invalid_argument(gw_error_message(error));
    }
    return answer;
}

} // namespace

int main() {
    CHECK(has(ask("quantity.convert", R"({"quantity": "1 in", "to": "mm"})").c_str(), "25.4"));
    bool thrown = false;
    try {
        ask("quantity.convert", R"({"quantity": "1", "to": "mm"})");
    } catch (const std::invalid_argument &e) {
        thrown = has(e.what(), "needs a unit");
    }
    CHECK(thrown);
    return run();
}
