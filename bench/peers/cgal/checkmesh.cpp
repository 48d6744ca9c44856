// checkmesh FILE... reads each STL, OFF or PLY mesh with CGAL and says what CGAL
// thinks of it: a check of our meshes by a library of exact geometry.
//
// One line a file: name, vertices, triangles, whether it is closed, outward (the
// normals point outside), degenerate triangles, pairs of triangles that meet outside
// their shared corners and edges, volume. Exit 0 only if every mesh is a closed,
// outward 2-manifold without degenerate triangles and without such pairs.
#include <cstdio>
#include <string>
#include <utility>
#include <vector>

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orient_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Polygon_mesh_processing/shape_predicates.h>
#include <CGAL/Surface_mesh.h>

namespace PMP = CGAL::Polygon_mesh_processing;
typedef CGAL::Exact_predicates_inexact_constructions_kernel Kernel;
typedef CGAL::Surface_mesh<Kernel::Point_3> Mesh;

static bool check(const char* name) {
    std::vector<Kernel::Point_3> points;
    std::vector<std::vector<std::size_t>> faces;
    if (!CGAL::IO::read_polygon_soup(name, points, faces) || faces.empty()) {
        std::printf("%s cannot be read\n", name);
        return false;
    }
    PMP::merge_duplicate_points_in_polygon_soup(points, faces);  // an STL has no indices
    if (!PMP::is_polygon_soup_a_polygon_mesh(faces)) {
        std::printf("%s vertices=%zu triangles=%zu manifold=no\n", name, points.size(), faces.size());
        return false;
    }
    Mesh mesh;
    PMP::polygon_soup_to_polygon_mesh(points, faces, mesh);
    bool closed = CGAL::is_closed(mesh);
    std::size_t degenerate = 0;
    for (auto f : mesh.faces()) degenerate += PMP::is_degenerate_triangle_face(f, mesh);
    std::vector<std::pair<Mesh::Face_index, Mesh::Face_index>> pairs;
    PMP::self_intersections(mesh, std::back_inserter(pairs));
    bool outward = closed && pairs.empty() && PMP::is_outward_oriented(mesh);
    double volume = closed ? CGAL::to_double(PMP::volume(mesh)) : 0;
    std::printf("%s vertices=%u triangles=%u manifold=yes closed=%s outward=%s degenerate=%zu crossing=%zu volume=%.6f\n", name,
                (unsigned)mesh.number_of_vertices(), (unsigned)mesh.number_of_faces(), closed ? "yes" : "no",
                outward ? "yes" : "no", degenerate, pairs.size(), volume);
    return closed && outward && degenerate == 0 && pairs.empty();
}

int main(int argc, char** argv) {
    bool good = argc > 1;
    for (int k = 1; k < argc; k++) good = check(argv[k]) && good;
    return good ? 0 : 1;
}
