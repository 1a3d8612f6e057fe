using System.Globalization;

namespace Reliability.Engine.Tests.AgainstR;

/// <summary>One line of R's answers.</summary>
/// <param name="Sample">Number of the sample.</param>
/// <param name="What">Life model or estimate.</param>
/// <param name="By"><c>survreg</c>, <c>survfit</c>, or why a maximisation written out in the script stands in.</param>
/// <param name="Values">The numbers.</param>
internal sealed record RAnswer(int Sample, string What, string By, IReadOnlyList<double> Values)
{
    public static RAnswer Parse(string line)
    {
        var words = line.Split('\t');
        return new RAnswer(
            int.Parse(words[0], CultureInfo.InvariantCulture), words[1], words[2],
            [.. words.Skip(3).Select(w => w == "Inf" ? double.PositiveInfinity : double.Parse(w, CultureInfo.InvariantCulture))]);
    }
}
