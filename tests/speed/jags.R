# Rscript jags.R SIZE FOLDER: wall and processor seconds of two chains of 5,000 draws of the default two-level model, and what they found.
arguments <- commandArgs(TRUE)
size <- as.integer(arguments[1])
arms <- read.csv(file.path(arguments[2], "arms.csv"))[seq_len(size), ]
suppressMessages(library(rjags))
model <- "model {
  for (i in 1:k) {
    r[i] ~ dbin(p[i], n[i])
    logit(p[i]) <- mu + tau * z[i]
    z[i] ~ dnorm(0, 1)
  }
  mu ~ dlogis(0, 1)
  tau ~ dnorm(0, 1) T(0, )
}"
data <- list(r = arms$succeeded, n = arms$started, k = size)
seconds <- system.time({
  chains <- jags.model(textConnection(model), data, n.chains = 2, n.adapt = 500, quiet = TRUE)
  update(chains, 500, progress.bar = "none")
  draws <- coda.samples(chains, c("mu", "tau"), 4000, progress.bar = "none")
})
seconds <- c(seconds[["elapsed"]], seconds[["user.self"]] + seconds[["sys.self"]])
means <- colMeans(as.matrix(draws))
cat(sprintf("%.4f %.4f %.5f,%.5f\n", seconds[1], seconds[2], means[["mu"]], means[["tau"]]))
