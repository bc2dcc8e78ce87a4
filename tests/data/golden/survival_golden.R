# Makes lives.csv and survival.csv, the golden files of the lifetimes, with R's package survival. The tests only read them.
#   Rscript survival_golden.R          (in this folder; R 4.2 and survival 3.5 were used; base R and survival only)
# lives.csv   invented lives, drawn here with a fixed seed: two groups, late entry, three reasons of ending, and the last time each
#             was seen working. Ages in weeks, all different, so that no convention about ties enters.
# survival.csv   what survival makes of them and of the published data beside this folder.
suppressPackageStartupMessages(library(survival))

set.seed(20260302, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
n <- 160
group <- rep(0:1, each = n / 2)
glass <- rweibull(n, 2.4, ifelse(group == 0, 80, 95))
broken <- rexp(n, 1 / 240)
reference <- rweibull(n, 1.4, 150)
end <- pmin(glass, broken, reference)
reason <- ifelse(end == glass, 1, ifelse(end == reference, 2, 3))
entry <- ifelse(runif(n) < 0.4, runif(n, 0, 45), 0)
watched <- runif(n, 25, 140)
exit <- pmin(end, watched)
cause <- ifelse(end <= watched, reason, 0)
kept <- exit > entry + 1
lives <- data.frame(entry = round(entry, 3), exit = round(exit, 4), cause = cause, group = group)[kept, ]
lives <- lives[!duplicated(lives$exit), ]
seen <- lives$exit - runif(nrow(lives), 0.5, 9)   # last seen working, for ends known only to lie in between
lives$lower <- ifelse(lives$cause == 0, lives$exit, round(pmax(lives$entry, seen), 3))
con <- file("lives.csv", "w")
writeLines(c("# Invented lives, weeks: watched from entry to exit; cause 0 still working, 1 glass, 2 reference, 3 broken; lower: last seen",
             "# working. Made by survival_golden.R (its seed and laws stand there)."), con)
write.csv(lives, con, row.names = FALSE, quote = FALSE)
close(con)
lives <- read.csv("lives.csv", comment.char = "#")   # the rounded figures, as the tests read them

out <- list()
put <- function(case, figure, at, value) {
  out[[length(out) + 1]] <<- sprintf("%s,%s,%s,%.10g", case, figure, if (is.null(at)) "" else format(at, digits = 10), value)
}
curve <- function(case, fit, ages) {
  s <- summary(fit, times = ages, extend = TRUE)
  for (i in seq_along(ages)) {
    put(case, "survival", ages[i], s$surv[i])
    put(case, "standard_error", ages[i], s$std.err[i])
    put(case, "lower", ages[i], s$lower[i])
    put(case, "upper", ages[i], s$upper[i])
  }
  t <- summary(fit)$table
  for (q in c("median", "0.95LCL", "0.95UCL"))
    if (!is.na(t[[q]])) put(case, c(median = "median", "0.95LCL" = "median_lower", "0.95UCL" = "median_upper")[[q]], NULL, t[[q]])
}
weibull <- function(case, fit) {   # survreg: ln t = intercept + scale * extreme value
  put(case, "shape", NULL, 1 / fit$scale)
  put(case, "scale", NULL, exp(coef(fit)[[1]]))
  put(case, "log_likelihood", NULL, fit$loglik[2])
  if (nrow(vcov(fit)) == 2) {
    put(case, "se_ln_scale", NULL, sqrt(vcov(fit)[1, 1]))
    put(case, "se_ln_shape", NULL, sqrt(vcov(fit)[2, 2]))
  }
}
tight <- survreg.control(rel.tolerance = 1e-12, maxiter = 200)

# Published data: all failed; six failures of 1,703.
read <- function(name) read.csv(file.path("..", "reference", name), comment.char = "#")
ball <- read("ball_bearing_life.csv")
cage <- read("bearing_cage_life.csv")
weibull("ball_bearing", survreg(Surv(megacycles, failed) ~ 1, ball, weights = count, control = tight))
curve("ball_bearing", survfit(Surv(megacycles, failed) ~ 1, ball, weights = count, conf.type = "log-log"), c(20, 51, 68.64, 100, 128))
weibull("bearing_cage", survreg(Surv(hours, failed) ~ 1, cage, weights = count, control = tight))
curve("bearing_cage", survfit(Surv(hours, failed) ~ 1, cage, weights = count, conf.type = "log-log"), c(300, 990, 1200, 1600))

# Invented lives.
ended <- as.integer(lives$cause > 0)
ages <- c(20, 40, 60, 80, 100)
curve("late_entry", survfit(Surv(entry, exit, ended) ~ 1, lives, conf.type = "log-log"), ages)
curve("from_new", survfit(Surv(exit, ended) ~ 1, lives, conf.type = "log-log"), ages)
weibull("right_censored", survreg(Surv(exit, ended) ~ 1, lives, control = tight))
weibull("exponential", survreg(Surv(exit, ended) ~ 1, lives, dist = "exponential", control = tight))
from <- ifelse(ended == 1, lives$lower, lives$exit)
from[from == 0] <- NA   # survreg's way to write "some time before"
between <- Surv(from, ifelse(ended == 1, lives$exit, NA), type = "interval2")
weibull("between_visits", survreg(between ~ 1, control = tight))

# Late entry has no door in survreg: the likelihood written out and maximised by optim (BFGS), a second route of its own.
minusLog <- function(p) {
  shape <- exp(p[1]); scale <- exp(p[2])
  -sum(ended * dweibull(lives$exit, shape, scale, log = TRUE) + (1 - ended) * pweibull(lives$exit, shape, scale, lower.tail = FALSE, log.p = TRUE) -
         pweibull(lives$entry, shape, scale, lower.tail = FALSE, log.p = TRUE))
}
best <- optim(c(log(2), log(80)), minusLog, method = "BFGS", control = list(reltol = 1e-15, maxit = 500), hessian = TRUE)
put("truncated", "shape", NULL, exp(best$par[1]))
put("truncated", "scale", NULL, exp(best$par[2]))
put("truncated", "log_likelihood", NULL, -best$value)
put("truncated", "se_ln_shape", NULL, sqrt(solve(best$hessian)[1, 1]))
put("truncated", "se_ln_scale", NULL, sqrt(solve(best$hessian)[2, 2]))

# Log-rank: without late entry survdiff; with it the score test of a Cox model, which is the same test where no ages are tied.
plain <- survdiff(Surv(exit, ended) ~ group, lives)
put("log_rank_from_new", "chi_square", NULL, plain$chisq)
put("log_rank_from_new", "expected_0", NULL, plain$exp[1])
put("log_rank_from_new", "expected_1", NULL, plain$exp[2])
put("log_rank_late_entry", "chi_square", NULL, coxph(Surv(entry, exit, ended) ~ group, lives)$score)

# Aalen and Johansen, late entry.
states <- factor(lives$cause, 0:3, c("in service", "glass", "reference", "broken"))
lives$id <- seq_len(nrow(lives))
aj <- summary(survfit(Surv(entry, exit, states) ~ 1, lives, id = id), times = ages, extend = TRUE)
for (i in seq_along(ages))
  for (k in 1:3) put("incidence", paste0("cause_", k), ages[i], aj$pstate[i, k + 1])

con <- file("survival.csv", "w")
writeLines(c(sprintf("# Made by survival_golden.R with %s and survival %s. Ages in the unit of the data.", R.version.string, packageVersion("survival")),
             "# Bands and limits: 95 %, log(-log S). Log-likelihoods of counts at their ages (no constants left out).",
             "case,figure,at,value", unlist(out)), con)
close(con)
