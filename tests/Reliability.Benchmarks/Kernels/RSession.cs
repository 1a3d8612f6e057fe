using System.Diagnostics;
using System.Globalization;

namespace Reliability.Benchmarks.Kernels;

/// <summary>R with its package survival, asked in one process after the other on files of rows.</summary>
internal static class RSession
{
    /// <summary>Whether R and survival are there.</summary>
    public static bool IsThere()
    {
        try
        {
            return Run("library(survival)") is not null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;
        }
    }

    /// <summary>The milliseconds that each line "name value" of a script's output says.</summary>
    public static Dictionary<string, double> Times(string script) =>
        (Run(script) ?? throw new InvalidOperationException("R ended with an error."))
            .Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' ')).Where(words => words.Length == 2)
            .ToDictionary(words => words[0], words => double.Parse(words[1], CultureInfo.InvariantCulture));

    private static string? Run(string script)
    {
        var start = new ProcessStartInfo("Rscript") { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        start.ArgumentList.Add("--vanilla");
        start.ArgumentList.Add("-");
        using var process = Process.Start(start)!;
        process.StandardInput.Write(script);
        process.StandardInput.Close();
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        errors.Wait();
        return process.ExitCode == 0 ? output : null;
    }
}
