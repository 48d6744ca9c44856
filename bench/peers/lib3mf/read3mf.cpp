// read3mf FILE... reads each 3MF with lib3mf in strict mode, counts its warnings, and
// says what it found: a check of our files by the reference library.
//
// One line a file: name, warnings, objects, triangles, whether every mesh is a closed
// oriented manifold ("solid") by lib3mf's own test, build items. Warnings follow on
// lines of their own. Exit 0 only if no file failed and none had a warning.
#include <cstdio>

#include "Model/COM/NMR_DLLInterfaces.h"

using namespace NMR;

static bool fails(LIB3MFRESULT result, const char* name, const char* step, PLib3MFBase* from) {
    if (result == 0) return false;
    DWORD code = 0;
    LPCSTR text = nullptr;
    if (from) lib3mf_getlasterror(from, &code, &text);
    std::printf("%s: %s failed: %s (%x)\n", name, step, text ? text : "", (unsigned)code);
    return true;
}

static bool read(const char* name) {
    PLib3MFModel* model = nullptr;
    PLib3MFModelReader* reader = nullptr;
    if (fails(lib3mf_createmodel(&model), name, "create", nullptr)) return false;
    if (fails(lib3mf_model_queryreader(model, "3mf", &reader), name, "reader", model)) return false;
    if (fails(lib3mf_reader_setstrictmodeactive(reader, 1), name, "strict mode", reader)) return false;
    if (fails(lib3mf_reader_readfromfileutf8(reader, name), name, "read", reader)) return false;
    DWORD warnings = 0;
    lib3mf_reader_getwarningcount(reader, &warnings);

    unsigned objects = 0, triangles = 0, items = 0;
    bool solid = true;
    BOOL more = 0;
    PLib3MFModelResourceIterator* each = nullptr;
    if (fails(lib3mf_model_getmeshobjects(model, &each), name, "objects", model)) return false;
    for (lib3mf_resourceiterator_movenext(each, &more); more; lib3mf_resourceiterator_movenext(each, &more)) {
        PLib3MFModelResource* object = nullptr;
        DWORD n = 0;
        BOOL closed = 0;
        lib3mf_resourceiterator_getcurrent(each, &object);
        lib3mf_meshobject_gettrianglecount(object, &n);
        lib3mf_meshobject_ismanifoldandoriented(object, &closed);
        objects++;
        triangles += n;
        solid = solid && closed;
        lib3mf_release(object);
    }
    PLib3MFModelBuildItemIterator* build = nullptr;
    if (fails(lib3mf_model_getbuilditems(model, &build), name, "items", model)) return false;
    for (lib3mf_builditemiterator_movenext(build, &more); more; lib3mf_builditemiterator_movenext(build, &more)) items++;

    std::printf("%s warnings=%u objects=%u triangles=%u solid=%s items=%u\n", name, (unsigned)warnings, objects, triangles,
                solid ? "yes" : "no", items);
    for (DWORD k = 0; k < warnings; k++) {
        char text[1024] = "";
        DWORD code = 0;
        ULONG needed = 0;
        lib3mf_reader_getwarningutf8(reader, k, &code, text, sizeof text, &needed);
        std::printf("  %x %s\n", (unsigned)code, text);
    }
    lib3mf_release(build);
    lib3mf_release(each);
    lib3mf_release(reader);
    lib3mf_release(model);
    return warnings == 0;
}

int main(int argc, char** argv) {
    bool good = argc > 1;
    for (int k = 1; k < argc; k++) good = read(argv[k]) && good;
    return good ? 0 : 1;
}
