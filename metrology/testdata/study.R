# SPDX-License-Identifier: Apache-2.0
# Gauge studies by R's aov: Rscript study.R > study.json  (Debian's r-base-core)
#
# Crossed, parts and persons random; the interaction is pooled into the
# residual when its p-value against the residual is above 0.25; components
# below zero are set to zero.

component <- function(ms1, ms0, k) max(0, (ms1 - ms0) / k)

study <- function(file) {
  d <- read.csv(file, colClasses = c("factor", "factor", "numeric"))
  a <- nlevels(d$part); b <- nlevels(d$person); n <- nrow(d) / (a * b)
  full <- summary(aov(reading_mm ~ part * person, data = d))[[1]]
  ss <- full[["Sum Sq"]]; df <- full[["Df"]]; ms <- full[["Mean Sq"]]
  p <- full[["Pr(>F)"]][3]
  if (p > 0.25) {
    reduced <- summary(aov(reading_mm ~ part + person, data = d))[[1]]
    r <- reduced[["Mean Sq"]]; rdf <- reduced[["Df"]]
    repeatability <- r[3]; interaction <- 0
    persons <- component(r[2], r[3], a * n); parts <- component(r[1], r[3], b * n)
    below <- r[3]; below_df <- rdf[3]
  } else {
    repeatability <- ms[4]; interaction <- component(ms[3], ms[4], n)
    persons <- component(ms[2], ms[3], a * n); parts <- component(ms[1], ms[3], b * n)
    below <- ms[3]; below_df <- df[3]
  }
  gauge <- repeatability + persons + interaction
  satterthwaite <- function(k) (ms[2] - below)^2 / (ms[2]^2 / df[2] + below^2 / below_df)
  tukey <- function(q, m, f, k) sqrt(max(0, m * f * (1 - qf(q, f, below_df) * below / m) / (k * qchisq(q, f))))
  values <- c(
    ss_part = ss[1], ss_person = ss[2], ss_interaction = ss[3], ss_residual = ss[4],
    interaction_p = p, repeatability = sqrt(repeatability), reproducibility = sqrt(persons),
    interaction = sqrt(interaction), gauge = sqrt(gauge), part = sqrt(parts), total = sqrt(gauge + parts),
    person_df = if (persons > 0) satterthwaite() else 0,
    person_low = tukey(0.975, ms[2], df[2], a * n), person_high = tukey(0.025, ms[2], df[2], a * n),
    part_low = tukey(0.975, ms[1], df[1], b * n), part_high = tukey(0.025, ms[1], df[1], b * n))
  body <- paste(sprintf('  "%s": %.12g', names(values), values), collapse = ",\n")
  sprintf(' "%s": {\n%s\n }', sub("\\.csv$", "", basename(file)), body)
}

files <- c("study_published.csv", "study_interaction.csv", "study_two_people.csv")
cat("{\n", paste(sapply(files, study), collapse = ",\n"), "\n}\n", sep = "")
