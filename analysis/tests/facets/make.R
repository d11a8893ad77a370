# Rscript make.R: writes the tables and the figures of JAGS and lme4 beside it, by which tests/facets.rs checks the facet model.
#
# cbpp: lme4's table, contagious bovine pleuropneumonia in 15 herds over 4 periods (Lesnoff et al. 2004, Trop Anim Health
# Prod 36:357). orobanche: ../reference/data (Crowder 1978, Appl Stat 27:34), seed and extract as two facets. syn: invented.
suppressMessages({ library(lme4); library(rjags) })
load.module("glm", quiet = TRUE)
set.seed(20261126)

# Columns grower, trial, one a facet (levels from 0), started, succeeded.
cbpp_table <- with(lme4::cbpp, data.frame(grower = as.integer(herd) - 1, trial = 0, period = as.integer(period) - 1,
                                          started = size, succeeded = incidence))

orobanche_table <- local({
  d <- read.csv("../reference/data/orobanche.csv")
  data.frame(grower = seq_len(nrow(d)) - 1, trial = 0, variety = as.integer(factor(d$medium)) - 1,
             extract = as.integer(factor(d$method)) - 1, started = d$stuck, succeeded = d$rooted)
})

syn_table <- local({
  rows <- list()
  effect <- list(stage = c(0, 0.8, -1.2), auxin = c(0, 0.7), medium = c(0, -0.3, -4))
  for (g in 0:13) {
    u <- rnorm(1, sd = 0.7)
    for (t in seq_len(sample(1:3, 1)) - 1) {
      v <- rnorm(1, sd = 0.4)
      stage <- sample(0:2, 1)
      for (a in seq_len(sample(1:3, 1))) {
        if (runif(1) < 0.3) stage <- sample(0:2, 1)
        auxin <- sample(0:1, 1)
        # Medium 2 came with stage 0 only, and next to nothing rooted in it.
        medium <- if (stage == 0 && runif(1) < 0.35) 2 else sample(0:1, 1)
        n <- sample(6:30, 1)
        p <- plogis(-0.8 + u + v + effect$stage[stage + 1] + effect$auxin[auxin + 1] + effect$medium[medium + 1])
        rows[[length(rows) + 1]] <- data.frame(grower = g, trial = t, stage = stage, auxin = auxin, medium = medium,
                                               started = n, succeeded = if (medium == 2) 0 else rbinom(1, n, p))
      }
    }
  }
  do.call(rbind, rows)
})

model <- function(three) paste0("model {
  for (i in 1:N) {
    r[i] ~ dbin(p[i], n[i])
    logit(p[i]) <- mu + inprod(X[i, ], b) + sg * u[grower[i]]", if (three) " + st * v[trial[i]]" else "", "
  }
  for (g in 1:G) { u[g] ~ dnorm(0, 1) }
  ", if (three) "for (t in 1:T) { v[t] ~ dnorm(0, 1) }\n  st ~ dnorm(0, 4) T(0, )" else "", "
  for (k in 1:K) { b[k] ~ dnorm(0, 2 / 2.82^2) }
  mu ~ dlogis(0, 1)
  sg ~ dnorm(0, 1) T(0, )
}")

number <- function(x) if (length(x) == 1) sprintf("%.6f", x) else paste0("[", paste(sprintf("%.6f", x), collapse = ", "), "]")
field <- function(name, value) sprintf("\"%s\": %s", name, value)
object <- function(...) paste0("{", paste(c(...), collapse = ", "), "}")
list_of <- function(items, indent) paste0("[\n", indent, paste(items, collapse = paste0(",\n", indent)), "\n  ]")
quantiles <- function(x) quantile(x, c(0.025, 0.5, 0.975), names = FALSE)

# E logistic(x + s Z) for every draw.
average <- function(x, s) {
  z <- seq(-6, 6, by = 0.25)
  w <- dnorm(z) / sum(dnorm(z))
  out <- numeric(length(x))
  for (k in seq_along(z)) out <- out + w[k] * plogis(x + s * z[k])
  out
}

sampled <- function(name, table, facets, references, combinations, three) {
  levels <- lapply(facets, function(f) max(table[[f]]) + 1)
  first <- cumsum(c(0, unlist(levels)))
  X <- do.call(cbind, lapply(seq_along(facets), function(f) outer(table[[facets[f]]], seq_len(levels[[f]]) - 1, "==") * 1))
  grower <- as.integer(factor(table$grower))
  trial <- as.integer(factor(paste(table$grower, table$trial)))
  data <- list(r = table$succeeded, n = table$started, X = X, grower = grower, N = nrow(table), G = max(grower), K = ncol(X))
  if (three) data <- c(data, list(trial = trial, T = max(trial)))
  seeds <- lapply(1:4, function(k) list(.RNG.name = "base::Mersenne-Twister", .RNG.seed = k))
  chains <- jags.model(textConnection(model(three)), data, inits = seeds, n.chains = 4, n.adapt = 2000, quiet = TRUE)
  update(chains, 5000, progress.bar = "none")
  names <- c("mu", "b", "sg", if (three) "st")
  draws <- coda.samples(chains, names, n.iter = ITERATIONS, thin = 5, progress.bar = "none")
  chain <- rep(seq_along(draws), each = nrow(draws[[1]]))
  draws <- as.matrix(draws)
  effective <- Inf
  b <- function(f, l) draws[, sprintf("b[%d]", first[f] + l + 1)]
  s <- if (three) sqrt(draws[, "sg"]^2 + draws[, "st"]^2) else draws[, "sg"]
  effects <- c()
  for (f in seq_along(facets)) for (l in seq_len(levels[[f]]) - 1) if (l != references[f]) {
    x <- b(f, l) - b(f, references[f])
    effective <- min(effective, sum(coda::effectiveSize(coda::mcmc.list(lapply(split(x, chain), coda::mcmc)))))
    effects <- c(effects, object(field("facet", f - 1), field("level", l), field("mean", number(mean(x))),
      field("sd", number(sd(x))), field("q", number(quantiles(x))), field("above", number(mean(x > 0)))))
  }
  rates <- c()
  for (levels_of in combinations) {
    eta <- draws[, "mu"]
    for (f in seq_along(facets)) eta <- eta + b(f, levels_of[f])
    mean_rate <- average(eta, s)
    rates <- c(rates, object(field("levels", paste0("[", paste(levels_of, collapse = ", "), "]")),
      field("typical_q", number(quantiles(plogis(eta)))), field("average_mean", number(mean(mean_rate))),
      field("average_q", number(quantiles(mean_rate))),
      field("new_q", number(quantiles(plogis(eta + s * rnorm(length(s))))))))
  }
  fixed <- paste(sprintf("relevel(factor(%s), \"%d\")", facets, references), collapse = " + ")
  formula <- as.formula(paste("cbind(succeeded, started - succeeded) ~", fixed, "+ (1 | grower)"))
  # lme4 has no answer of use where a level is nothing but zeros.
  glmer_fit <- if (!three) glmer(formula, data = table, family = binomial, nAGQ = 25)
  table_file <- paste0(name, ".csv")
  write.csv(table, table_file, row.names = FALSE, quote = FALSE)
  cat(name, ": smallest effective number of draws", effective, "\n")
  paste0("{\n  ", paste(c(
    field("table", sprintf("\"%s\"", table_file)),
    field("facets", paste0("[", paste(sprintf("\"%s\"", facets), collapse = ", "), "]")),
    field("levels", paste0("[", paste(unlist(levels), collapse = ", "), "]")),
    field("references", paste0("[", paste(references, collapse = ", "), "]")),
    field("three_level", if (three) "true" else "false"),
    field("effects", list_of(effects, "    ")),
    field("grower_spread_mean", number(mean(draws[, "sg"]))),
    if (three) field("trial_spread_mean", number(mean(draws[, "st"]))),
    field("rates", list_of(rates, "    ")),
    if (!three) field("glmer_fixed", number(unname(fixef(glmer_fit)))),
    if (!three) field("glmer_sd_of_fixed", number(unname(sqrt(diag(as.matrix(vcov(glmer_fit)))))))), collapse = ",\n  "), "\n}\n")
}

ITERATIONS <- as.integer(Sys.getenv("ITERATIONS", "100000"))
versions <- sprintf("R %s.%s, lme4 %s, rjags %s, JAGS %s", R.version$major, R.version$minor, packageVersion("lme4"),
                    packageVersion("rjags"), jags.version())
cases <- c(
  sampled("cbpp", cbpp_table, "period", 0, list(0, 3), FALSE),
  sampled("orobanche", orobanche_table, c("variety", "extract"), c(0, 0), list(c(0, 0), c(1, 1)), FALSE),
  sampled("syn", syn_table, c("stage", "auxin", "medium"), c(0, 0, 0), list(c(0, 0, 0), c(1, 1, 1), c(2, 1, 2)), TRUE))
writeLines(paste0("{\n\"programs\": \"", versions, "\",\n\"draws\": \"4 chains of ", ITERATIONS, ", every fifth\",\n\"cases\": [\n",
                  paste(cases, collapse = ","), "]\n}"), "expected.json")
