/* A small JSON reader for the test programs: a tree of values, each with its own stretch of the text.
 * A program need not use all of it. */
#ifndef JSON_H
#define JSON_H

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum { JSON_NULL, JSON_FALSE, JSON_TRUE, JSON_NUMBER, JSON_STRING, JSON_ARRAY, JSON_OBJECT } json_type;

typedef struct json {
    json_type type;
    double number;
    char *string;        /* decoded, of a string */
    char *key;           /* of a member of an object */
    const char *from;    /* its stretch of the text */
    size_t length;
    struct json *child;  /* first member or element */
    struct json *next;
} json;

#if defined(__GNUC__)
#pragma GCC diagnostic ignored "-Wunused-function"
#endif

static void *json_memory(size_t size) {
    void *memory = calloc(1, size);
    if (memory == NULL) {
        fprintf(stderr, "out of memory\n");
        exit(EXIT_FAILURE);
    }
    return memory;
}

static void json_free(json *value) {
    while (value != NULL) {
        json *next = value->next;
        json_free(value->child);
        free(value->string);
        free(value->key);
        free(value);
        value = next;
    }
}

static const char *json_space(const char *p) {
    while (*p != '\0' && isspace((unsigned char)*p)) {
        p++;
    }
    return p;
}

static const char *json_hex4(const char *p, unsigned *code) {
    *code = 0;
    for (int i = 0; i < 4; i++) {
        if (!isxdigit((unsigned char)p[i])) {
            return NULL;
        }
        const int c = tolower((unsigned char)p[i]);
        *code = *code * 16 + (unsigned)(c <= '9' ? c - '0' : c - 'a' + 10);
    }
    return p + 4;
}

/* Decodes a string from after its opening quote; gives the place after the closing one. */
static const char *json_text(const char *p, char **text) {
    char *out = (char *)json_memory(strlen(p) + 1);
    size_t n = 0;
    *text = out;
    for (; *p != '"'; p++) {
        if (*p == '\0') {
            return NULL;
        }
        if (*p != '\\') {
            out[n++] = *p;
            continue;
        }
        p++;
        switch (*p) {
        case 'n': out[n++] = '\n'; break;
        case 't': out[n++] = '\t'; break;
        case 'r': out[n++] = '\r'; break;
        case 'b': out[n++] = '\b'; break;
        case 'f': out[n++] = '\f'; break;
        case 'u': {
            unsigned code = 0;
            const char *after = json_hex4(p + 1, &code);
            if (after == NULL) {
                return NULL;
            }
            if (code >= 0xd800 && code < 0xdc00 && after[0] == '\\' && after[1] == 'u') {
                unsigned low = 0;
                after = json_hex4(after + 2, &low);
                if (after == NULL) {
                    return NULL;
                }
                code = 0x10000 + ((code - 0xd800) << 10) + (low - 0xdc00);
            }
            p = after - 1;
            if (code < 0x80) {
                out[n++] = (char)code;
            } else if (code < 0x800) {
                out[n++] = (char)(0xc0 | (code >> 6));
                out[n++] = (char)(0x80 | (code & 0x3f));
            } else if (code < 0x10000) {
                out[n++] = (char)(0xe0 | (code >> 12));
                out[n++] = (char)(0x80 | ((code >> 6) & 0x3f));
                out[n++] = (char)(0x80 | (code & 0x3f));
            } else {
                out[n++] = (char)(0xf0 | (code >> 18));
                out[n++] = (char)(0x80 | ((code >> 12) & 0x3f));
                out[n++] = (char)(0x80 | ((code >> 6) & 0x3f));
                out[n++] = (char)(0x80 | (code & 0x3f));
            }
            break;
        }
        case '"': case '\\': case '/': out[n++] = *p; break;
        default: return NULL;
        }
    }
    return p + 1;
}

static const char *json_value(const char *p, json **value);

static const char *json_members(const char *p, json *parent) {
    const int object = *p == '{';
    const char close = object ? '}' : ']';
    json **last = &parent->child;
    parent->type = object ? JSON_OBJECT : JSON_ARRAY;
    p = json_space(p + 1);
    if (*p == close) {
        return p + 1;
    }
    for (;;) {
        char *key = NULL;
        if (object) {
            p = json_space(p);
            if (*p != '"' || (p = json_text(p + 1, &key)) == NULL || *(p = json_space(p)) != ':') {
                free(key);
                return NULL;
            }
            p++;
        }
        p = json_value(p, last);
        if (*last != NULL) {
            (*last)->key = key;
        } else {
            free(key);
        }
        if (p == NULL) {
            return NULL;
        }
        last = &(*last)->next;
        p = json_space(p);
        if (*p == close) {
            return p + 1;
        }
        if (*p++ != ',') {
            return NULL;
        }
    }
}

static const char *json_value(const char *p, json **value) {
    json *v = (json *)json_memory(sizeof *v);
    *value = v;
    p = json_space(p);
    v->from = p;
    if (*p == '{' || *p == '[') {
        p = json_members(p, v);
    } else if (*p == '"') {
        v->type = JSON_STRING;
        p = json_text(p + 1, &v->string);
    } else if (strncmp(p, "true", 4) == 0) {
        v->type = JSON_TRUE;
        p += 4;
    } else if (strncmp(p, "false", 5) == 0) {
        v->type = JSON_FALSE;
        p += 5;
    } else if (strncmp(p, "null", 4) == 0) {
        p += 4;
    } else {
        char *end = NULL;
        v->type = JSON_NUMBER;
        v->number = strtod(p, &end);
        p = end == p ? NULL : end;
    }
    v->length = p == NULL ? 0 : (size_t)(p - v->from);
    return p;
}

/* Reads a whole text; NULL if it is no JSON. The text must outlive the tree. */
static json *json_read(const char *text) {
    json *value = NULL;
    const char *end = json_value(text, &value);
    if (end == NULL || *json_space(end) != '\0') {
        json_free(value);
        return NULL;
    }
    return value;
}

/* A member by name, or an element by number; NULL if there is none. */
static const json *json_get(const json *value, const char *name, size_t length) {
    long at = strtol(name, NULL, 10);
    if (value == NULL) {
        return NULL;
    }
    for (const json *c = value->child; c != NULL; c = c->next) {
        if (value->type == JSON_OBJECT ? strlen(c->key) == length && memcmp(c->key, name, length) == 0
                                       : at-- == 0) {
            return c;
        }
    }
    return NULL;
}

/* A value by its path: "parts.0.mass" or "parts[0].mass". */
static const json *json_at(const json *value, const char *path) {
    while (value != NULL && *path != '\0') {
        const size_t length = strcspn(path, ".[]");
        if (length > 0) {
            value = json_get(value, path, length);
        }
        path += length;
        path += *path != '\0';
    }
    return value;
}

static const char *json_string(const json *value) {
    return value != NULL && value->type == JSON_STRING ? value->string : NULL;
}

/* Its stretch of the text as its own text, to be freed. */
static char *json_copy(const json *value) {
    char *copy = (char *)json_memory(value->length + 1);
    memcpy(copy, value->from, value->length);
    return copy;
}

/* A whole file, to be freed; NULL if it can not be read. */
static char *json_file(const char *path) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    char *text = NULL;
    if (fseek(file, 0, SEEK_END) == 0) {
        const long size = ftell(file);
        rewind(file);
        text = (char *)json_memory((size_t)(size < 0 ? 0 : size) + 1);
        if (size < 0 || fread(text, 1, (size_t)size, file) != (size_t)size) {
            free(text);
            text = NULL;
        }
    }
    fclose(file);
    return text;
}

#endif
