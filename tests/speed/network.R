# Rscript network.R SIZE FOLDER: wall and processor seconds of two chains of 5,000 draws of the network model, then tau and the log odds
# ratios against the first method.
arguments <- commandArgs(TRUE)
arms <- read.csv(file.path(arguments[2], "network.csv"))
suppressMessages(library(rjags))
model <- "model {
  for (i in 1:N) {
    r[i] ~ dbin(p[i], n[i])
    logit(p[i]) <- m + s * a[trial[i]] + d[method[i]] + tau / sqrt(2) * w[i]
    w[i] ~ dnorm(0, 1)
  }
  for (t in 1:T) { a[t] ~ dnorm(0, 1) }
  d[1] <- 0
  for (k in 2:M) { d[k] ~ dnorm(0, 1 / 2.82^2) }
  m ~ dlogis(0, 1)
  s ~ dnorm(0, 1) T(0, )
  tau ~ dnorm(0, 4) T(0, )
}"
data <- list(r = arms$succeeded, n = arms$started, trial = arms$trial, method = arms$method,
             N = nrow(arms), T = max(arms$trial), M = max(arms$method))
seconds <- system.time({
  chains <- jags.model(textConnection(model), data, n.chains = 2, n.adapt = 500, quiet = TRUE)
  update(chains, 500, progress.bar = "none")
  draws <- coda.samples(chains, c("tau", "d"), 4000, progress.bar = "none")
})
seconds <- c(seconds[["elapsed"]], seconds[["user.self"]] + seconds[["sys.self"]])
means <- colMeans(as.matrix(draws))
d <- means[paste0("d[", seq_len(data$M), "]")]
cat(sprintf("%.4f %.4f %s\n", seconds[1], seconds[2], paste(sprintf("%.5f", c(means[["tau"]], d)), collapse = ",")))
