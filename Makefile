# Mouldwright. The two commands a newcomer needs: make run, make test.

GO      ?= go
VERSION ?= $(shell git describe --tags --always --dirty 2>/dev/null || echo dev)
OUT     ?= example-out

export CGO_ENABLED = 0

.PHONY: run build test tools lint bench fuzz clean

# run builds the example job whole and says where the results lie.
run: build
	./mouldwright build examples/orchard/job.toml -o $(OUT)

build:
	$(GO) build -trimpath -ldflags "-s -w -X main.version=$(VERSION)" -o mouldwright ./cmd/mouldwright

# test runs everything; tools installs what the checks against other libraries need.
test: export MOULDWRIGHT_PEERS = must
test: tools
	$(GO) vet ./...
	$(GO) test -timeout 30m ./...

# tools brings the independent judges of the tests: readers of PDF, SVG, 3MF and
# meshes, an image library and a text shaper. All are Debian packages.
tools:
	sh bench/peers/install.sh

lint:
	test -z "$$(gofmt -l cmd internal)" || (gofmt -l cmd internal; exit 1)
	$(GO) vet ./...

# bench prints one table: this project and general-purpose peers, in the same run.
bench: tools
	sh bench/run.sh

clean:
	rm -rf mouldwright $(OUT) bench/peers/bin
