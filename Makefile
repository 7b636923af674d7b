# make lists its targets.
GO ?= go
BIN := $(CURDIR)/.bin
LINT_VERSION := v2.15.0

.PHONY: help run test vet lint bench fuzz deps tidy

help: ## list the targets
	@grep -hE '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | sort

run: ## serve the club in ./marram-data on http://127.0.0.1:8080
	$(GO) run ./cmd/marram serve

# Searches and simulations of one goroutine each, in packages that start none: the race
# detector makes them some six times slower and has nothing to find in them.
LONG := ^Test(EffectIsRecovered|PermutationLevel|SeenAbove|OneSidedLevel|PatternIsRecovered|TodayIsRecovered|DifferentToday|CorridorIsHit|FitConverges|BandHoldsTheTruth|EveryDayOfAHole|TwoDevicesOfEachRole.*|EntriesThatOvertakeOneAnother|OneDeviceOfEachRoleEndsAlikeInEveryOrder)$$
LONG_IN := ./events/card ./projections/shots

test: deps ## install what the tests need and run all of them, with the race detector but for the longest sums
	$(GO) test -timeout 12m -run '$(LONG)' $(LONG_IN)
	$(GO) test -race -vet=off -timeout 12m -skip '$(LONG)' ./... # make vet is for that

vet: ## go vet
	$(GO) vet ./...

lint: $(BIN)/golangci-lint-$(LINT_VERSION) ## golangci-lint with the layer rules of the house plan
	$(BIN)/golangci-lint-$(LINT_VERSION) run ./...

$(BIN)/golangci-lint-$(LINT_VERSION):
	GOBIN=$(BIN) $(GO) install github.com/golangci/golangci-lint/v2/cmd/golangci-lint@$(LINT_VERSION)
	mv $(BIN)/golangci-lint $@

bench: ## run every benchmark once, so that none of them rots
	$(GO) test -run '^$$' -bench . -benchtime 1x ./...

fuzz: ## a minute of each fuzz target
	@for p in $$($(GO) list ./...); do \
		for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz'); do \
			echo "$$p $$f"; $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 60s $$p || exit 1; \
		done; \
	done

# On Debian and its kin missing packages are installed; elsewhere they are named.
deps:
	@missing=""; \
	ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$$missing postgresql"; \
	command -v chromium >/dev/null 2>&1 || missing="$$missing chromium"; \
	if [ -n "$$missing" ]; then \
		if ! command -v apt-get >/dev/null 2>&1; then \
			echo "The tests need these programs, please install them:$$missing" >&2; exit 1; \
		fi; \
		sudo=""; [ "$$(id -u)" = 0 ] || sudo=sudo; \
		$$sudo apt-get update -q && $$sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends $$missing; \
	fi

tidy: ## bring go.mod in line with the imports
	$(GO) mod tidy
