using System.Runtime.InteropServices;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Kernels;

/// <summary>The rows of a sample in a file that R reads as they are: ages twice, then how each life ended (survival's codes).</summary>
internal sealed class RowFile : IDisposable
{
    private readonly string _path = Path.GetTempFileName();
    private readonly int _rows;
    private readonly bool _intervals;

    public RowFile(LifeSample sample)
    {
        (_rows, _intervals) = (sample.RowCount, sample.HasIntervals);
        var codes = new double[_rows];
        var lower = sample.LowerHours.ToArray();
        for (var i = 0; i < _rows; i++)
        {
            // 0 right-censored, 1 failed, 2 before the upper age, 3 between two.
            codes[i] = sample.Outcomes[i] switch
            {
                LifeOutcome.Survived => 0,
                LifeOutcome.Failed => 1,
                _ => lower[i] > 0 ? 3 : 2,
            };
            if (codes[i] == 2)
                lower[i] = sample.UpperHours[i];
        }

        using var stream = File.Create(_path);
        stream.Write(MemoryMarshal.AsBytes<double>(lower));
        stream.Write(MemoryMarshal.AsBytes(sample.UpperHours));
        stream.Write(MemoryMarshal.AsBytes<double>(codes));
    }

    /// <summary>A script that fits some times and says the least, of the whole call and of the fit within alone.</summary>
    public string Survreg(string distribution, int runs)
    {
        var standard = distribution switch { "weibull" => "extreme", "lognormal" => "gaussian", _ => "logistic" };
        return $$"""
            {{Read}}
            control <- survreg.control(rel.tolerance = 1e-10)
            n <- if ({{_rows}} < 10000) 20 else 1
            cat("survreg", least({{runs}}, n, function() survreg(y ~ 1, dist = "{{distribution}}", control = control)), fill = TRUE)
            logs <- cbind(log(y[, 1]), if (ncol(y) == 3) ifelse(y[, 3] == 3, log(y[, 2]), 1), y[, ncol(y)])
            x <- matrix(1, {{_rows}}, 1)
            cat("fit", least({{runs}}, n, function() survreg.fit(x, logs, NULL, rep(0, {{_rows}}), init = NULL, controlvals = control,
                dist = survreg.distributions[["{{standard}}"]], scale = 0, nstrat = 1, strata = 0, parms = NULL)), fill = TRUE)
            """;
    }

    /// <summary>A script that times the Kaplan-Meier estimate.</summary>
    public string Survfit() =>
        $$"""
        {{Read}}
        cat("survfit", least(2, 1, function() survfit(y ~ 1, conf.type = "log-log")), fill = TRUE)
        """;

    /// <summary>A script that times the Turnbull estimate of lives known between two ages, or not yet failed.</summary>
    public string Turnbull() =>
        $$"""
        {{Read}}
        y <- Surv(ifelse(code == 2, NA, a), ifelse(code == 0, NA, b), type = "interval2")
        cat("survfit", least(1, 1, function() survfit(y ~ 1)), fill = TRUE)
        """;

    public void Dispose() => File.Delete(_path);

    // Time is the processor's, which other work on the machine does not stretch as it does the clock's.
    private string Read =>
        $$"""
        library(survival)
        least <- function(runs, n, f) min(replicate(runs, {
            s <- sum(proc.time()[1:2]); for (i in 1:n) f(); (sum(proc.time()[1:2]) - s) * 1000 / n }))
        all <- readBin("{{_path}}", "double", {{3 * _rows}})
        a <- all[1:{{_rows}}]; b <- all[{{_rows + 1}}:{{2 * _rows}}]; code <- all[{{2 * _rows + 1}}:{{3 * _rows}}]
        y <- {{(_intervals ? "Surv(a, b, code, type = 'interval')" : "Surv(a, code)")}}
        """;
}
