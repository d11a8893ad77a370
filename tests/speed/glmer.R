# Rscript glmer.R SIZE FOLDER: wall and processor seconds of glmer with 7 nodes on the first SIZE arms, each a group, and what it found.
arguments <- commandArgs(TRUE)
size <- as.integer(arguments[1])
arms <- read.csv(file.path(arguments[2], "arms.csv"))[seq_len(size), ]
suppressMessages(library(lme4))
site <- factor(seq_len(size))
fit <- function() glmer(cbind(succeeded, started - succeeded) ~ 1 + (1 | site), data = arms, family = binomial, nAGQ = 7)
# The first call compiles parts of the package.
found <- fit()
repeats <- if (size <= 300) 9 else if (size <= 3000) 3 else 1
seconds <- replicate(repeats, { t <- system.time(fit()); c(t[["elapsed"]], t[["user.self"]] + t[["sys.self"]]) })
cat(sprintf("%.4f %.4f %.5f,%.5f\n", median(seconds[1, ]), median(seconds[2, ]), fixef(found), sqrt(VarCorr(found)$site[1])))
