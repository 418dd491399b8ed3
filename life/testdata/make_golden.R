# SPDX-License-Identifier: Apache-2.0
# The Weibull distribution of the turbine wheels (W. Nelson, Applied Life Data
# Analysis, 1982; data set turbine of the package survival) by survreg, each
# wheel censored on the left if it was cracked and on the right if not, and
# conditional chances by pweibull. Prints JSON.
suppressMessages(library(survival))
left <- with(turbine, c(rep(NA, sum(failed)), rep(hours, inspected - failed)))
right <- with(turbine, c(rep(hours, failed), rep(NA, sum(inspected - failed))))
fit <- survreg(Surv(left, right, type = "interval2") ~ 1, dist = "weibull",
               control = survreg.control(rel.tolerance = 1e-12, maxiter = 100))
rows <- paste(sprintf("    {\"hours\": %d, \"inspected\": %d, \"failed\": %d}",
                      turbine$hours, turbine$inspected, turbine$failed), collapse = ",\n")
g <- expand.grid(shape = c(0.8, 1, 2.5, 4), run = c(0, 40000, 92400, 250000), further = c(1000, 60000))
g$scale <- 160000
p <- with(g, -expm1(pweibull(run + further, shape, scale, lower.tail = FALSE, log.p = TRUE) -
                    pweibull(run, shape, scale, lower.tail = FALSE, log.p = TRUE)))
cat("{\n  \"turbine\": [\n", rows, "\n  ],\n", sep = "")
cat(sprintf("  \"shape\": %.6f,\n  \"scale\": %.5f,\n  \"log_likelihood\": %.6f,\n", 1 / fit$scale, exp(coef(fit)), fit$loglik[1]))
cat("  \"within\": [\n", paste(sprintf("    {\"shape\": %g, \"scale\": %.0f, \"run\": %.0f, \"further\": %.0f, \"chance\": %.12g}",
    g$shape, g$scale, g$run, g$further, p), collapse = ",\n"), "\n  ]\n}\n", sep = "")
