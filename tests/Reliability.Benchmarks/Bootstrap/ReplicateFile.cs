using System.Globalization;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Resampling;

namespace Reliability.Benchmarks.Bootstrap;

/// <summary>The first replicates of a run in a file, hours and 1 for failed, sample after sample, for R to fit.</summary>
internal sealed class ReplicateFile : IDisposable
{
    private readonly string _path = Path.GetTempFileName();
    private readonly int _rows;
    private readonly int _samples;

    public ReplicateFile(ReplicatePlan plan, LogTimeAxis axis, (double U, double V) at, ulong seed, int samples)
    {
        (_rows, _samples) = (plan.Lives.Length, samples);
        var drawer = new SampleDrawer(plan, axis);
        using var writer = new BinaryWriter(File.Create(_path));
        for (var k = 0; k < samples; k++)
        {
            var sample = drawer.Draw(new LocationScaleLife(default(SmallestExtremeValue), at.U, at.V), seed, k);
            for (var i = 0; i < sample.RowCount; i++)
            {
                writer.Write(sample.LowerHours[i]);
                writer.Write(sample.Outcomes[i] == Engine.Abstractions.LifeOutcome.Failed ? 1.0 : 0.0);
            }
        }
    }

    /// <summary>
    /// A script that fits each sample once and says the milliseconds of a fit, of the whole call and of the fit within alone, and the sums of
    /// the estimated shapes.
    /// </summary>
    public string Survreg() => string.Create(CultureInfo.InvariantCulture, $$"""
        library(survival)
        rows <- matrix(readBin("{{_path}}", "double", {{2 * _rows * _samples}}), 2)
        samples <- lapply(0:{{_samples - 1}}, function(k) { r <- rows[, k * {{_rows}} + 1:{{_rows}}]; Surv(r[1, ], r[2, ]) })
        control <- survreg.control(rel.tolerance = 1e-10)
        y <- samples[[1]]; invisible(survreg(y ~ 1, control = control))
        shapes <- numeric({{_samples}})
        s <- proc.time()[[3]]
        for (k in 1:{{_samples}}) { y <- samples[[k]]; shapes[k] <- 1 / survreg(y ~ 1, dist = "weibull", control = control)$scale }
        cat("survreg", (proc.time()[[3]] - s) * 1000 / {{_samples}}, fill = TRUE)
        x <- matrix(1, {{_rows}}, 1)
        logs <- lapply(samples, function(y) cbind(log(y[, 1]), 1, y[, 2]))
        s <- proc.time()[[3]]
        for (k in 1:{{_samples}}) survreg.fit(x, logs[[k]], NULL, rep(0, {{_rows}}), init = NULL, controlvals = control,
            dist = survreg.distributions[["extreme"]], scale = 0, nstrat = 1, strata = 0, parms = NULL)
        cat("fit", (proc.time()[[3]] - s) * 1000 / {{_samples}}, fill = TRUE)
        cat("shapes", format(mean(shapes), digits = 15), fill = TRUE)
        """);

    public void Dispose() => File.Delete(_path);
}
