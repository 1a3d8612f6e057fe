# Answers of R for the samples of the tests: Rscript --vanilla agreement.R LIVES ANSWERS
# LIVES: task, sample, outcome (0 failed, 1 survived, 2 between), lower, upper, entry, count, mode; tab-separated with a header.
# ANSWERS: sample, what, by, then numbers. Ends with status 3 where the package survival is missing.
if (!suppressWarnings(suppressMessages(require(survival, quietly = TRUE)))) quit(status = 3)
arguments <- commandArgs(trailingOnly = TRUE)
lives <- read.table(arguments[1], header = TRUE, sep = "\t", quote = "",
                    colClasses = c("character", "integer", "integer", rep("numeric", 4), "integer"))
answers <- character()
answer <- function(sample, what, by, values)
  answers[length(answers) + 1L] <<- paste(c(sample, what, by, trimws(formatC(values, digits = 14, format = "g"))), collapse = "\t")

# ---- Fits ----

# Log density and log survival of the standard distributions of log life.
density.of <- list(
  weibull = function(z) z - exp(z), exponential = function(z) z - exp(z),
  lognormal = function(z) dnorm(z, log = TRUE), loglogistic = function(z) dlogis(z, log = TRUE))
survival.of <- list(
  weibull = function(z) -exp(z), exponential = function(z) -exp(z),
  lognormal = function(z) pnorm(z, lower.tail = FALSE, log.p = TRUE),
  loglogistic = function(z) plogis(z, lower.tail = FALSE, log.p = TRUE))

# The log-likelihood of log lives written out, in location and log sigma; that of the lives themselves is `jacobian` less.
likelihood.of <- function(d, model) {
  f <- density.of[[model]]
  s <- survival.of[[model]]
  dead <- d$outcome == 0; alive <- d$outcome == 1; between <- d$outcome == 2; late <- d$entry > 0
  xf <- log(d$lower[dead]); wf <- d$count[dead]
  xs <- log(d$lower[alive]); ws <- d$count[alive]
  xl <- log(d$lower[between]); xu <- log(d$upper[between]); wb <- d$count[between]
  xe <- log(d$entry[late]); we <- d$count[late]
  value <- function(p) {
    sigma <- if (length(p) > 1) exp(p[2]) else 1
    sum <- sum(wf * (f((xf - p[1]) / sigma) - log(sigma))) + sum(ws * s((xs - p[1]) / sigma))
    if (length(xl)) {
      before <- s((xl - p[1]) / sigma)
      sum <- sum + sum(wb * (before + log(-expm1(s((xu - p[1]) / sigma) - before))))
    }
    if (length(xe)) sum <- sum - sum(we * s((xe - p[1]) / sigma))
    if (is.finite(sum)) sum else -1e300
  }
  list(value = value, jacobian = sum(wf * xf))
}

# Slope and curvature by differences over five points; steps are in parts of sigma and of log sigma.
slope <- function(l, p, h) sapply(seq_along(p), function(i) {
  e <- replace(numeric(length(p)), i, h[i])
  (8 * (l(p + e) - l(p - e)) - (l(p + 2 * e) - l(p - 2 * e))) / (12 * h[i])
})
newton.step <- function(l, p) {
  h <- c(1e-3 * (if (length(p) > 1) exp(p[2]) else 1), 1e-3)[seq_along(p)]
  g <- slope(l, p, h)
  k <- sapply(seq_along(p), function(i) {
    e <- replace(numeric(length(p)), i, h[i])
    (8 * (slope(l, p + e, h) - slope(l, p - e, h)) - (slope(l, p + 2 * e, h) - slope(l, p - 2 * e, h))) / (12 * h[i])
  })
  tryCatch(solve(-(k + t(k)) / 2, g), error = function(e) rep(Inf, length(p)))
}

# Simplex from several starts, then Newton: no derivative is written down, nothing is shared with survreg.
maximise <- function(d, model, l) {
  x <- log(ifelse(d$outcome == 2, d$upper, d$lower))
  best <- NULL
  if (model == "exponential") {
    found <- optimize(l, range(x) + c(-3, 12), maximum = TRUE, tol = 1e-10)
    best <- list(par = found$maximum, value = -found$objective)
  } else for (spread in c(1, 0.3, 3)) {
    found <- optim(c(mean(x), log(max(sd(x), 1e-3) * spread)), function(p) -l(p), method = "Nelder-Mead",
                   control = list(reltol = 1e-12, maxit = 600))
    if (is.null(best) || found$value < best$value) best <- found
    if (all(d$entry == 0)) break
  }
  polish(l, best$par)
}
polish <- function(l, p) {
  last <- Inf
  for (i in 1:30) {
    step <- newton.step(l, p)
    if (any(!is.finite(step)) || l(p + step) < l(p) - 1e-9 * (1 + abs(l(p)))) break
    p <- p + step
    last <- max(abs(step))
    if (last < 1e-11) break
  }
  list(p = p, step = last)
}

fit <- function(d, sample, model) {
  likelihood <- likelihood.of(d, model)
  l <- likelihood$value
  give <- function(by, p, value) answer(sample, model, by, c(p[1], if (length(p) > 1) exp(p[2]) else 1, value))
  reason <- "late-entry"
  if (all(d$entry == 0)) {
    warned <- FALSE
    y <- if (any(d$outcome == 2)) {
      Surv(ifelse(d$lower == 0, NA, d$lower), ifelse(d$outcome == 1, NA, d$upper), type = "interval2")
    } else Surv(d$lower, d$outcome == 0)
    r <- tryCatch(
      withCallingHandlers(
        survreg(y ~ 1, weights = d$count, dist = model, control = survreg.control(maxiter = 200, rel.tolerance = 1e-14)),
        warning = function(w) { warned <<- TRUE; invokeRestart("muffleWarning") }),
      error = function(e) NULL)
    reason <- if (is.null(r)) "survreg-error" else if (warned) "survreg-not-converged" else "survreg-stopped-early"
    if (!is.null(r) && !warned) {
      p <- c(unname(coef(r)), if (model != "exponential") log(r$scale))
      # A Newton step of the likelihood written out tells whether survreg has arrived.
      if (all(abs(newton.step(l, p)) < 1e-8)) return(give("survreg", p, r$loglik[2]))
    }
  }
  m <- maximise(d, model, l)
  give(if (m$step < 1e-9) reason else paste0(reason, ",no-maximum-found"), m$p, l(m$p) - likelihood$jacobian)
}

# ---- Without a model ----

survival.curve <- function(d, sample) {
  y <- if (any(d$entry > 0)) Surv(d$entry, d$lower, d$outcome == 0) else Surv(d$lower, d$outcome == 0)
  s <- survfit(y ~ 1, weights = d$count, timefix = FALSE)
  at <- s$n.event > 0
  rows <- cbind(s$time, s$n.risk, s$n.event, s$surv, s$std.err, s$cumhaz)[at, , drop = FALSE]
  for (i in seq_len(nrow(rows))) answer(sample, "survival", "survfit", rows[i, ])
}

incidence <- function(d, sample) {
  modes <- sort(unique(d$mode[d$outcome == 0]))
  end <- factor(ifelse(d$outcome == 0, match(d$mode, modes), 0), 0:length(modes), c("alive", modes))
  y <- if (any(d$entry > 0)) Surv(d$entry, d$lower, end) else Surv(d$lower, end)
  s <- survfit(y ~ 1, weights = d$count, id = seq_len(nrow(d)), timefix = FALSE)
  for (m in seq_along(modes)) for (i in which(s$n.event[, m + 1] > 0))
    answer(sample, paste0("incidence-", modes[m]), "survfit", c(s$time[i], s$pstate[i, m + 1]))
}

# Self-consistency (Turnbull 1976), lives that nobody saw because they ended before an age of entry added in their expected number, on
# innermost intervals found by looking at all ends (ages of entry are right ends: Frydman 1994). survfit stops this long before
# the maximum and takes no late entry, hence by hand. Without late entry it misses the maximum by at most the violation times the lives.
turnbull <- function(d, sample) {
  point <- d$outcome == 0
  upper <- ifelse(d$outcome == 1, Inf, d$upper)
  # Ends as pairs (age, side): a failure at t begins just before t, an interval (l, u] begins just after l.
  left <- unique(data.frame(age = d$lower, side = ifelse(point, 0, 1)))
  right <- unique(data.frame(age = c(upper, d$entry[d$entry > 0]), side = 0.5))
  ends <- rbind(cbind(left, kind = "left"), cbind(right, kind = "right"))
  ends <- ends[order(ends$age, ends$side), ]
  inner <- which(ends$kind[-nrow(ends)] == "left" & ends$kind[-1] == "right")
  a <- ends$age[inner]; a.side <- ends$side[inner]; b <- ends$age[inner + 1]
  after <- function(age, side) outer(seq_along(age), seq_along(a), function(i, j) a[j] > age[i] | (a[j] == age[i] & a.side[j] >= side[i]))
  known <- after(d$lower, ifelse(point, 0, 1)) & outer(upper, b, ">=")
  reached <- after(d$entry, rep(1, nrow(d))) | d$entry == 0
  w <- d$count / sum(d$count)
  p <- rep(1 / length(a), length(a))
  late <- any(d$entry > 0)
  for (i in 1:(if (late) 100000 else 20000)) {
    seen <- w / drop(known %*% p)
    pulls <- drop(crossprod(known, seen))
    there <- w / drop(reached %*% p)
    # The expected number of lives for each one seen: those that ended unseen are spread over the intervals before its entry.
    slopes <- (pulls + drop(crossprod(!reached, there))) / sum(there)
    p <- p * slopes
    if (i %% 100 == 0 && max(slopes) < 1 + 1e-11) break
  }
  value <- sum(d$count * (log(drop(known %*% p)) - log(drop(reached %*% p))))
  answer(sample, "turnbull", if (late) "self-consistency,late-entry" else "self-consistency", c(value, max(slopes) - 1))
}

for (d in split(lives, lives$sample)) {
  sample <- d$sample[1]
  switch(d$task[1],
         fit = for (model in names(density.of)) fit(d, sample, model),
         survival = survival.curve(d, sample),
         incidence = incidence(d, sample),
         turnbull = turnbull(d, sample))
}
writeLines(c(paste("#", R.version.string, "survival", packageVersion("survival")), answers), arguments[2])
