using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;

namespace Reliability.Engine.Tests.AgainstR;

/// <summary>What R answered: run now, or stored in agreement.tsv by <c>RELIABILITY_R_ANSWERS=FILE</c> in front of the tests.</summary>
internal sealed class RAnswers
{
    private const int PackageMissing = 3;

    private readonly ILookup<int, RAnswer> _bySample;

    private RAnswers(IReadOnlyList<string> lines)
    {
        Made = lines[0].TrimStart('#', ' ');
        _bySample = lines.Skip(1).Select(RAnswer.Parse).ToLookup(a => a.Sample);
    }

    /// <summary>The stored answers.</summary>
    public static RAnswers Stored { get; } = new(File.ReadAllLines(Path.Combine(Folder, "agreement.tsv")));

    /// <summary>The answers of R run now; null where there is no Rscript with survival. An R that fails is a failure.</summary>
    public static Lazy<RAnswers?> Live { get; } = new(Run);

    /// <summary>Which R made them.</summary>
    public string Made { get; }

    private static string Folder => Path.Combine(AppContext.BaseDirectory, "AgainstR");

    /// <summary>The answers about a sample.</summary>
    public IEnumerable<RAnswer> Of(AgreementSample sample) => _bySample[sample.Number];

    private static RAnswers? Run()
    {
        var folder = Directory.CreateTempSubdirectory("agreement-");
        try
        {
            var (lives, answers) = (Path.Combine(folder.FullName, "lives.tsv"), Path.Combine(folder.FullName, "answers.tsv"));
            File.WriteAllText(lives, AgreementSamples.Table());
            var start = new ProcessStartInfo("Rscript", ["--vanilla", Path.Combine(Folder, "agreement.R"), lives, answers])
            {
                RedirectStandardError = true,
            };
            using var process = Process.Start(start)!;
            var errors = process.StandardError.ReadToEnd();
            process.WaitForExit();
            if (process.ExitCode == PackageMissing)
                return null;
            if (process.ExitCode != 0)
                throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"R ended with {process.ExitCode}: {errors}"));
            if (Environment.GetEnvironmentVariable("RELIABILITY_R_ANSWERS") is { Length: > 0 } file)
                File.Copy(answers, file, overwrite: true);
            return new RAnswers(File.ReadAllLines(answers));
        }
        catch (Win32Exception)
        {
            return null;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
