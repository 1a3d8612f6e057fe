using System.CommandLine;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;

namespace Reliability.Cli.Fits;

/// <summary>The options that say what to fit and which numbers are wanted of the fit.</summary>
internal sealed class FitOptions
{
    private readonly Option<string?> _lifeModel = new("--life-model") { Description = "The life model, from life-models; the service's default when absent." };
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of bounds, two-sided; 0.95 when absent." };
    private readonly Option<string?> _bounds = new("--bounds") { Description = "How bounds are made; calibrated when absent, where the life model has them." };
    private readonly Option<double[]> _fractions = new("--fraction") { Description = "Ages are wanted by which this fraction has failed: 0.1 for the B10 life. Can be given several times." };
    private readonly Option<double[]> _atHours = new("--at-hours") { Description = "The chance to outlast this age is wanted. Can be given several times." };

    /// <summary>Prepares the options.</summary>
    public FitOptions() => _bounds.AcceptOnlyFromAmong([.. ContractWords.Of<BoundsMethod>().Select(word => word.Replace(' ', '-'))]);

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        foreach (Option option in (Option[])[_lifeModel, _confidence, _bounds, _fractions, _atHours])
            command.Add(option);
    }

    /// <summary>The life model; empty for the default.</summary>
    public string LifeModel(ParseResult parse) => parse.GetValue(_lifeModel) ?? "";

    /// <summary>The confidence level; null for the default.</summary>
    public double? Confidence(ParseResult parse) => parse.GetValue(_confidence);

    /// <summary>How bounds are made.</summary>
    public BoundsMethod Bounds(ParseResult parse) =>
        ContractWords.TryParse(parse.GetValue(_bounds) ?? "", out BoundsMethod method) ? method : BoundsMethod.Unspecified;

    /// <summary>The fractions failed whose ages are wanted.</summary>
    public IEnumerable<double> Fractions(ParseResult parse) => parse.GetValue(_fractions) ?? [];

    /// <summary>The ages at which reliability is wanted.</summary>
    public IEnumerable<double> AtHours(ParseResult parse) => parse.GetValue(_atHours) ?? [];

    /// <summary>Parameters that are known, from texts such as "shape=2".</summary>
    /// <exception cref="UsageException">A text is malformed or a name is given twice.</exception>
    public static IReadOnlyDictionary<string, double> Fixed(IEnumerable<string> texts)
    {
        Dictionary<string, double> known = [];
        foreach (string text in texts)
        {
            int sign = text.IndexOf('=', StringComparison.Ordinal);
            if (sign < 1 || !double.TryParse(text[(sign + 1)..], System.Globalization.CultureInfo.InvariantCulture, out double value))
                throw new UsageException($"--fix: \"{text}\" is not of the form name=number, such as shape=2.");
            if (!known.TryAdd(text[..sign].Trim(), value))
                throw new UsageException($"--fix: {text[..sign].Trim()} is given twice.");
        }
        return known;
    }
}
