using Reliability.History.Lives;
using Reliability.Rules;

namespace Reliability.History.ModelCheck;

/// <summary>Holds History against the model on one record, and makes a record that disagrees as short as it can be.</summary>
internal static class Check
{
    /// <summary>The lines that only one side has; none when both agree.</summary>
    public static List<string> Disagreement(Case made, Wrong wrong = Wrong.Nothing) => Disagreement(made, wrong, out _);

    /// <summary>The same, with the branches of the rules that the record reached.</summary>
    public static List<string> Disagreement(Case made, Wrong wrong, out Branches branches)
    {
        var told = Rules.Rules.Tell(made.Facts, made.Asked, wrong);
        branches = told[0].Branches;
        if (told.Exists(t => t.LeftOpen))
        {
            branches.Reach(Branches.LeftOpen);
            return [];
        }

        var history = Lines.Of(LifeDerivation.Derive(
            Translation.Record(made.Facts), Translation.Catalogue(made.Asked), Translation.Options(made.Asked)));
        var models = told.ConvertAll(Lines.Of);
        if (models.Exists(model => model.SequenceEqual(history)))
            return [];
        return [.. models[0].Except(history).Select(l => "model:   " + l), .. history.Except(models[0]).Select(l => "history: " + l)];
    }

    /// <summary>The record without whatever is not needed for the disagreement, as text to read and to write down as a test.</summary>
    public static string Shortest(Case made, Wrong wrong = Wrong.Nothing)
    {
        var facts = made.Facts.ToList();
        for (var i = facts.Count - 1; i >= 0; i--)
        {
            var fewer = facts.Where((_, at) => at != i).ToList();
            if (Disagreement(made with { Facts = fewer }, wrong).Count > 0)
                facts = fewer;
        }

        var shortest = made with { Facts = facts };
        return Description.Of(shortest) + string.Join('\n', Disagreement(shortest, wrong));
    }
}
