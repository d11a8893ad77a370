# Two species of one genus, one method, four growers: draws from the prior of the joint model, weighted by the likelihood.
# Normal tails of skill. Columns: grower, species, pieces, rooted; every row is a trial of one arm.
set.seed(20261130)
n <- 2e6
grower <- c(1, 2, 3, 4); species <- c(1, 1, 2, 2); pieces <- c(20, 16, 24, 12); rooted <- c(3, 5, 2, 4)
half <- function(s) abs(rnorm(n, 0, s))
sds <- sapply(c(.5, .5, .5, .5, .5, .7, .6, .4), half)
m0 <- rnorm(n, 0, 1.5)
shared <- m0 + rnorm(n) * sds[, 1] + rnorm(n) * sds[, 3] + rnorm(n) * sds[, 4]      # level, genus, method, genus by method
cell <- sapply(1:3, function(k) shared + rnorm(n) * sds[, 2] + rnorm(n) * sds[, 5]) # third species: never tried
spread <- sqrt(sds[, 6]^2 + sds[, 7]^2 + sds[, 8]^2)
log_weight <- rep(0, n)
for (row in seq_along(grower)) {
  eta <- cell[, species[row]] + rnorm(n) * spread
  log_weight <- log_weight + dbinom(rooted[row], pieces[row], plogis(eta), log = TRUE)
}
w <- exp(log_weight - max(log_weight)); w <- w / sum(w)
cat("effective draws", 1 / sum(w^2), "\n")
for (k in 1:3) {
  mean <- sum(w * cell[, k]); sd <- sqrt(sum(w * (cell[, k] - mean)^2))
  new <- plogis(cell[, k] + rnorm(n) * spread)
  o <- order(new); cum <- cumsum(w[o])
  q <- sapply(c(.025, .5, .975), function(p) new[o][which(cum >= p)[1]])
  cat(k, "mean", mean, "sd", sd, "average", sum(w * new), "new grower", q, "\n")
}
