package api

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	eventlog "marram.example/events/log"
	"marram.example/projections"
	"marram.example/projections/board"
)

// Metrics are what the service measures, in a registry of its own. Make them
// before the log and the boards, which take hooks of it.
type Metrics struct {
	Registry *prometheus.Registry

	requests   *prometheus.HistogramVec
	refused    *prometheus.CounterVec
	append     prometheus.Histogram
	appended   prometheus.Counter
	group      prometheus.Histogram
	retried    *prometheus.CounterVec
	listeners  prometheus.Gauge
	frameBytes prometheus.Counter
	dropped    prometheus.Counter
}

// NewMetrics returns metrics with a fresh registry.
func NewMetrics() *Metrics {
	m := &Metrics{
		Registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "marram_http_request_duration_seconds", Help: "Time from request to answer, without streams.",
			Buckets: prometheus.ExponentialBuckets(0.0005, 2, 14),
		}, []string{"method", "route", "status"}),
		refused: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "marram_commands_refused_total", Help: "Requests to change something that were refused, by code.",
		}, []string{"code"}),
		append: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "marram_log_append_duration_seconds", Help: "Time from handing events over to their acknowledgement.",
			Buckets: prometheus.ExponentialBuckets(0.0001, 2, 16),
		}),
		appended: prometheus.NewCounter(prometheus.CounterOpts{Name: "marram_log_events_total", Help: "Events appended."}),
		group: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "marram_log_group_commands", Help: "Commands that one write to the log carried.", Buckets: prometheus.ExponentialBuckets(1, 2, 10),
		}),
		retried: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "marram_log_retries_total", Help: "Commands decided or sent again.",
		}, []string{"reason"}),
		listeners:  prometheus.NewGauge(prometheus.GaugeOpts{Name: "marram_boards_open", Help: "Listeners to live boards."}),
		frameBytes: prometheus.NewCounter(prometheus.CounterOpts{Name: "marram_board_frame_bytes_total", Help: "Bytes of frames encoded."}),
		dropped:    prometheus.NewCounter(prometheus.CounterOpts{Name: "marram_board_frames_dropped_total", Help: "Frames that slow listeners did not get."}),
	}
	m.Registry.MustRegister(m.requests, m.refused, m.append, m.appended, m.group, m.retried, m.listeners, m.frameBytes, m.dropped,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Log are the hooks for the event log.
func (m *Metrics) Log() eventlog.Metrics {
	return eventlog.Metrics{
		Appended: func(events int, took time.Duration) {
			m.appended.Add(float64(events))
			m.append.Observe(took.Seconds())
		},
		Grouped: func(commands, _ int) { m.group.Observe(float64(commands)) },
		Retried: func(reason string) { m.retried.WithLabelValues(reason).Inc() },
	}
}

// Boards are the hooks for the live boards.
func (m *Metrics) Boards() board.Metrics {
	return board.Metrics{
		Listeners: func(change int) { m.listeners.Add(float64(change)) },
		Frames:    func(bytes, _ int) { m.frameBytes.Add(float64(bytes)) },
		Dropped:   func(frames int) { m.dropped.Add(float64(frames)) },
	}
}

// unknownLag is shown while the log cannot be asked.
const unknownLag = -1

// watch adds how far read models and boards are behind the log.
func (m *Metrics) watch(r *projections.Runner, b *board.Boards) {
	lag := func() float64 {
		ctx, cancel := context.WithTimeout(context.Background(), healthTimeout)
		defer cancel()
		n, err := r.Lag(ctx)
		if err != nil {
			return unknownLag
		}
		return float64(n)
	}
	m.Registry.MustRegister(
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "marram_projection_lag_events", Help: "Events that the read models have not seen; -1 where unknown."}, lag),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "marram_board_position", Help: "Position of the log that the live boards have reached."},
			func() float64 { return float64(b.Position()) }),
	)
}

func (m *Metrics) request(method, route string, status int, took time.Duration, contentType string) {
	if strings.HasPrefix(contentType, "text/event-stream") {
		return // how long somebody watches is no latency
	}
	m.requests.WithLabelValues(knownMethod(method), route, strconv.Itoa(status)).Observe(took.Seconds())
}

// knownMethod keeps invented methods from becoming labels.
func knownMethod(m string) string {
	switch m {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return m
	}
	return "other"
}

// refusal counts a refused write. Codes are constants of ours, so there are only
// so many.
func (m *Metrics) refusal(method string, p Problem) {
	switch method {
	case http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete:
		m.refused.WithLabelValues(p.Code).Inc()
	}
}

func (m *Metrics) handler() echo.HandlerFunc {
	return echo.WrapHandler(promhttp.HandlerFor(m.Registry, promhttp.HandlerOpts{}))
}
