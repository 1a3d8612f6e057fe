using Google.Protobuf.Collections;
using Reliability.Engine.Families;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>Takes the answers to several questions out of one result, in the order in which they were asked.</summary>
/// <param name="result">The result, which has as many numbers as were asked.</param>
internal sealed class AnswerReader(EvaluationResult result)
{
    private int _densities, _survivals, _quantiles;

    /// <summary>Takes the next answers of a kind.</summary>
    public void Take(FamilyAnswer kind, Span<double> to)
    {
        switch (kind)
        {
            case FamilyAnswer.LogDensity:
                Next(result.LogDensities, ref _densities, to);
                break;
            case FamilyAnswer.LogSurvival:
                Next(result.LogSurvivals, ref _survivals, to);
                break;
            case FamilyAnswer.Quantile:
                Next(result.Quantiles, ref _quantiles, to);
                break;
            default:
                to[0] = result.Mean;
                break;
        }
    }

    private static void Next(RepeatedField<double> from, ref int at, Span<double> to)
    {
        for (var i = 0; i < to.Length; i++)
            to[i] = from[at++];
    }
}
