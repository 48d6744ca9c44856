module mouldwright/bench

go 1.26.0
