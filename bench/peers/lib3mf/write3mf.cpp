// write3mf IN.stl OUT.3mf [N] reads a binary STL's triangles, welds equal corners, and
// writes them with lib3mf N times (3 unless told); it prints the seconds of the
// fastest writing alone, from the mesh in lib3mf's memory to the closed file.
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <map>
#include <tuple>
#include <vector>

#include "Model/COM/NMR_DLLInterfaces.h"

using namespace NMR;

static void must(LIB3MFRESULT result, const char* step) {
    if (result == 0) return;
    std::fprintf(stderr, "%s failed (%x)\n", step, (unsigned)result);
    std::exit(1);
}

int main(int argc, char** argv) {
    if (argc < 3) return 2;
    std::FILE* f = std::fopen(argv[1], "rb");
    char head[84];
    if (!f || std::fread(head, 1, 84, f) != 84) return 1;
    uint32_t n;
    std::memcpy(&n, head + 80, 4);
    std::vector<MODELMESHVERTEX> vertices;
    std::vector<MODELMESHTRIANGLE> triangles(n);
    std::map<std::tuple<float, float, float>, DWORD> seen;
    for (uint32_t k = 0; k < n; k++) {
        char record[50];
        if (std::fread(record, 1, 50, f) != 50) return 1;
        for (int c = 0; c < 3; c++) {
            MODELMESHVERTEX v;
            std::memcpy(v.m_fPosition, record + 12 + 12 * c, 12);
            auto place = std::make_tuple(v.m_fPosition[0], v.m_fPosition[1], v.m_fPosition[2]);
            auto [at, fresh] = seen.emplace(place, (DWORD)vertices.size());
            if (fresh) vertices.push_back(v);
            triangles[k].m_nIndices[c] = at->second;
        }
    }
    std::fclose(f);

    PLib3MFModel* model = nullptr;
    PLib3MFModelMeshObject* object = nullptr;
    PLib3MFModelBuildItem* item = nullptr;
    must(lib3mf_createmodel(&model), "create");
    must(lib3mf_model_addmeshobject(model, &object), "object");
    must(lib3mf_meshobject_setgeometry(object, vertices.data(), vertices.size(), triangles.data(), triangles.size()), "geometry");
    MODELTRANSFORM stay = {{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}}};
    must(lib3mf_model_addbuilditem(model, object, &stay, &item), "item");

    double best = 1e9;
    for (int k = argc > 3 ? std::atoi(argv[3]) : 3; k > 0; k--) {
        auto start = std::chrono::steady_clock::now();
        PLib3MFModelWriter* writer = nullptr;
        must(lib3mf_model_querywriter(model, "3mf", &writer), "writer");
        must(lib3mf_writer_writetofileutf8(writer, argv[2]), "write");
        lib3mf_release(writer);
        double s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        if (s < best) best = s;
    }
    std::printf("triangles=%u seconds=%.3f\n", n, best);
}
