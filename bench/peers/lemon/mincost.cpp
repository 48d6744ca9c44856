// mincost IN.min OUT reads a network in the DIMACS form for flows of least cost, and sends
// the supply through it by LEMON's network simplex. OUT gets the flow of each arc, a line
// each, in the order of IN. It prints the seconds from the network in memory to the flow.
#include <chrono>
#include <cstdio>
#include <fstream>
#include <lemon/dimacs.h>
#include <lemon/network_simplex.h>
#include <lemon/smart_graph.h>

using namespace lemon;
using Whole = long long;
using Map = SmartDigraph::ArcMap<Whole>;

int main(int argc, char** argv) {
    if (argc != 3) return 2;
    std::ifstream in(argv[1]);
    SmartDigraph graph;
    Map least(graph), most(graph), cost(graph);
    SmartDigraph::NodeMap<Whole> supply(graph);
    readDimacsMin(in, graph, least, most, cost, supply);

    auto start = std::chrono::steady_clock::now();
    NetworkSimplex<SmartDigraph, Whole, Whole> simplex(graph);
    bool found = simplex.upperMap(most).costMap(cost).supplyMap(supply).run() == simplex.OPTIMAL;
    double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    if (!found) return 1;

    std::ofstream out(argv[2]);
    for (int k = 0; k < countArcs(graph); k++) out << simplex.flow(graph.arcFromId(k)) << "\n";
    std::printf("seconds=%.6f\n", seconds);
    return out.flush() ? 0 : 1;
}
