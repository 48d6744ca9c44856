# Mouldwright. The two commands a newcomer needs: make run, make test.

GO      ?= go
VERSION ?= $(shell git describe --tags --always --dirty 2>/dev/null || echo dev)
OUT     ?= example-out

export CGO_ENABLED = 0

.PHONY: run build page test test-go test-web tools lint bench torture fuzz weaknesses screenshots clean

# run builds the example job whole, in a copy of its own, and opens it in the browser.
run: build
	mkdir -p $(OUT)
	cp -n examples/orchard/* $(OUT)/
	./mouldwright build $(OUT)/job.toml -o $(OUT)/out
	./mouldwright serve $(OUT)/job.toml

build: page
	$(GO) build -trimpath -ldflags "-s -w -X main.version=$(VERSION)" -o mouldwright ./cmd/mouldwright

# page builds the workshop's front end, which the binary carries. Without Node the binary
# carries a page that says so, and everything else works.
page:
	@if command -v npm >/dev/null; then $(MAKE) --no-print-directory web/node_modules/.installed && cd web && npm run --silent build; \
	else echo "no Node here: the workshop's page is left out"; fi

web/node_modules/.installed: web/package-lock.json
	cd web && npm ci --ignore-scripts --no-progress --no-fund --no-audit
	cp $< $@

# test runs everything; tools installs what the checks against other libraries need.
test: tools test-go test-web

test-go: export MOULDWRIGHT_PEERS = must
test-go:
	$(GO) vet ./...
	$(GO) test -timeout 40m ./...

# test-web checks the front end, then walks its main paths in a real browser.
test-web: build
	cd web && npm run --silent lint && npm run --silent check && npm run --silent test && npm run --silent e2e

# tools brings the independent judges of the tests: readers of PDF, SVG, 3MF and
# meshes, an image library and a text shaper. All are Debian packages.
tools:
	sh bench/peers/install.sh

# lint's Go programs are pinned in a module of their own, which the program's does not know.
lint: LINT = $(GO) tool -modfile=bench/lint/go.mod
lint: web/node_modules/.installed
	test -z "$$(gofmt -l cmd internal bench)" || (gofmt -l cmd internal bench; exit 1)
	$(GO) vet ./...
	$(LINT) staticcheck ./...
	$(LINT) ineffassign ./...
	$(LINT) unparam ./cmd/... ./internal/...
	$(LINT) errcheck -ignoretests -exclude bench/lint/errcheck.txt ./cmd/... ./internal/...
	cd web && npm run --silent lint && npm run --silent check

# bench prints one table: this project and general-purpose peers, in the same run.
bench: tools
	sh bench/run.sh

# fuzz feeds every reader of foreign bytes with made-up input, ten minutes each (FUZZ_TIME).
fuzz:
	sh internal/check/fuzz.sh

# weaknesses asks the public lists whether any version in use is known to be weak.
weaknesses:
	$(GO) tool -modfile=bench/lint/go.mod govulncheck ./...
	cd web && npm audit

# torture kills processes at random instants, 250 times while they write into a record, 100
# times in a build and while the workshop saves, and looks what is left.
torture:
	MOULDWRIGHT_TORTURE=250 $(GO) test -count 1 -v -timeout 20m -run KilledAtAnyInstant ./internal/record
	MOULDWRIGHT_TORTURE=100 $(GO) test -count 1 -v -timeout 60m -run KilledAtAnyInstant ./internal/build ./cmd/mouldwright

# screenshots pictures every page, light and dark, at desk and tablet size.
screenshots: build
	cd web && npm run --silent screenshots

clean:
	rm -rf mouldwright $(OUT) bench/peers/bin
