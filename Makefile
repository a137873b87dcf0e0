# windlane: what a newcomer types. `make demo` runs the main job, `make test`
# passes every test; both work on a fresh Debian machine with Go, Node and make.

GO      ?= go
BIN     := bin/windlane
WASM    := bin/windlane.wasm
STATIC  := $(GO) tool -modfile=tools.mod staticcheck
export CGO_ENABLED ?= 0

# Packages that must also run in a page: everything but the rim.
ENGINE  := $(shell $(GO) list ./... 2>/dev/null | grep -v -e /cmd/ -e /internal/render -e /internal/store)

.PHONY: help demo build wasm test check unit race engine-wasm door browser outside bench kill fuzz clean

help: ## list the targets
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 14

demo: build ## plan a day on the invented lake: text here, a page and a print in demo-day/
	$(BIN) demo --out demo-day

build: ## the program, in bin/
	$(GO) build -trimpath -o $(BIN) ./cmd/windlane

wasm: ## the engine for a page, in bin/
	GOOS=js GOARCH=wasm $(GO) build -trimpath -ldflags='-s -w' -o $(WASM) ./cmd/windlane-wasm

test: check unit race engine-wasm door outside browser ## every test

check: ## formatting, vet, staticcheck
	@test -z "$$(gofmt -l . | tee /dev/stderr)"
	$(GO) vet ./...
	GOOS=js GOARCH=wasm $(GO) vet ./cmd/windlane-wasm
	$(STATIC) ./...

unit: ## the tests
	$(GO) test -timeout 20m ./...

# Where something runs beside something else (together_test.go holds that nothing
# does elsewhere); without the tests that plan one day after another: unit has them.
TOGETHER := ./cmd/windlane ./demo ./internal/render ./internal/store ./line
DAYS     := ExamplesRun|PlanAgain|PlanTells|PlanBadFlags|PlanWrites|JSONBesideFiles|SurveyAsYouGo|WildNumbers|AnyDayFits|DemoOnPaper|SameBriefSameBytes

race: ## the race detector, where something runs beside something else (wants a C compiler)
	@scripts/need gcc gcc libc6-dev
	CGO_ENABLED=1 $(GO) test -race -timeout 20m -skip '$(DAYS)' $(TOGETHER)

engine-wasm: ## the engine's tests again as WebAssembly under Node
	@scripts/need node nodejs
	@scripts/wasm-test $(ENGINE)

door: build wasm ## the one door natively and as WebAssembly: same decisions, numbers within 1e-9
	node --test scripts/door.test.mjs

outside: browser/node_modules ## a natural outline with islands out of a package
	$(GO) test -tags outside ./water

browser: build browser/node_modules ## the page in a real browser: reading, contrast, overlaps, print
	@scripts/need chromium chromium
	$(BIN) demo --quiet --out bin/day
	cd browser && WINDLANE_HTML=$(CURDIR)/bin/day/day.html npm test

browser/node_modules: browser/package-lock.json
	cd browser && npm ci --no-audit --no-fund --loglevel=error
	@touch $@

bench: ## how fast it is; see docs/performance.md
	$(GO) test -run=NONE -bench=. ./...

kill: ## the diary's writer killed 200 times at random moments: nothing acknowledged may be lost
	$(GO) test -count=1 -v -run NothingAcknowledgedIsLost ./internal/store -args -kills 200

fuzz: ## every reader and the door, a while each
	@scripts/fuzz

clean: ## what was built
	rm -rf bin demo-day browser/node_modules
