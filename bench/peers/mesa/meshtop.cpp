// meshtop IN.stl WIDTH W H X0 Y0 PITCH OUT reads a mesh with assimp, scales it to WIDTH mm,
// centres it, sets it down on z = 0, and lets Mesa's software renderer draw it from above:
// W x H samples, the first at X0, Y0. OUT gets the highest point over each sample as a
// float32 in mm, row by row, -1 where there is none. It prints the seconds of reading, and
// of all from the file to the heights in memory; writing OUT is not among them.
#include <GL/gl.h>
#include <GL/osmesa.h>

#include <algorithm>
#include <assimp/Importer.hpp>
#include <assimp/scene.h>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <vector>

static_assert(sizeof(aiVector3D) == 3 * sizeof(float), "Mesa is given assimp's corners as they lie");

int main(int argc, char** argv) {
    if (argc != 9) return 2;
    const double width = std::atof(argv[2]), x0 = std::atof(argv[5]), y0 = std::atof(argv[6]), pitch = std::atof(argv[7]);
    const int w = std::atoi(argv[3]), h = std::atoi(argv[4]);
    auto start = std::chrono::steady_clock::now();
    auto since = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };

    Assimp::Importer importer;
    const aiScene* scene = importer.ReadFile(argv[1], 0);
    if (!scene || scene->mNumMeshes != 1) {
        std::fprintf(stderr, "assimp: %s\n", importer.GetErrorString());
        return 1;
    }
    const aiMesh* mesh = scene->mMeshes[0]; // corners in threes, as an STL has them
    const unsigned corners = mesh->mNumVertices;
    const double reading = since();

    aiVector3D lo = mesh->mVertices[0], hi = lo;
    for (unsigned i = 1; i < corners; i++) {
        const aiVector3D& p = mesh->mVertices[i];
        lo = {std::min(lo.x, p.x), std::min(lo.y, p.y), std::min(lo.z, p.z)};
        hi = {std::max(hi.x, p.x), std::max(hi.y, p.y), std::max(hi.z, p.z)};
    }
    const double scale = width / (hi.x - lo.x), step = pitch / scale;
    const double left = x0 / scale + (lo.x + hi.x) / 2, front = y0 / scale + (lo.y + hi.y) / 2, deep = hi.z - lo.z;

    const int wanted[] = {OSMESA_FORMAT, OSMESA_RGBA, OSMESA_DEPTH_BITS, 32, 0};
    OSMesaContext context = OSMesaCreateContextAttribs(wanted, nullptr);
    std::vector<unsigned char> colours(size_t(w) * h * 4);
    if (!context || !OSMesaMakeCurrent(context, colours.data(), GL_UNSIGNED_BYTE, w, h)) return 1;
    glViewport(0, 0, w, h);
    glMatrixMode(GL_PROJECTION);
    // The middle of a pixel is a sample. A hair of room keeps top and bottom from being cut off.
    const double room = deep / 100, nearest = -hi.z - room, farthest = -lo.z + room;
    glOrtho(left - step / 2, left + (w - 0.5) * step, front - step / 2, front + (h - 0.5) * step, nearest, farthest);
    glEnable(GL_DEPTH_TEST);
    glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
    glClear(GL_DEPTH_BUFFER_BIT);
    glEnableClientState(GL_VERTEX_ARRAY);
    glVertexPointer(3, GL_FLOAT, 0, mesh->mVertices);
    const unsigned block = 300000; // corners at a time: all at once took twice the memory and no less time
    for (unsigned i = 0; i < corners; i += block) glDrawArrays(GL_TRIANGLES, i, std::min(block, corners - i));
    std::vector<float> z(size_t(w) * h);
    glReadPixels(0, 0, w, h, GL_DEPTH_COMPONENT, GL_FLOAT, z.data());
    for (float& v : z) v = v < 1 ? float((deep + room - v * (farthest - nearest)) * scale) : -1;
    const double all = since();

    std::FILE* out = std::fopen(argv[8], "wb");
    if (!out || std::fwrite(z.data(), sizeof(float), z.size(), out) != z.size() || std::fclose(out) != 0) return 1;
    std::printf("triangles=%u reading=%.3f seconds=%.3f\n", corners / 3, reading, all);
}
