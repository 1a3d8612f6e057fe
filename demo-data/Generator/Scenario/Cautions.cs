namespace Reliability.DemoData.Scenario;

/// <summary>The handling cautions used in the catalogue of the invented network.</summary>
internal static class Cautions
{
    private static readonly Dictionary<string, string> Texts = new()
    {
        ["ISOLATE_SUPPLY"] = "Isolate from the supply and check that it is dead before opening.",
        ["COOL_DOWN"] = "Let it cool down for 15 minutes before touching it.",
        ["EYE_AND_HAND_PROTECTION"] = "Wear eye and hand protection.",
        ["INTERLOCK"] = "Do not defeat the cover interlock.",
        ["OUTPUT_CHECK"] = "Check the output with a calibrated meter before return to use.",
        ["FLOW_CHECK"] = "Check flow and pressure with a calibrated analyser before return to use.",
        ["RATE_CHECK"] = "Check the delivery rate and the occlusion alarm before return to use.",
        ["ELECTRICAL_SAFETY_TEST"] = "Carry out the electrical safety test before return to use.",
        ["DISPOSAL"] = "Dispose of it as electrical waste; do not put it in general waste.",
    };

    /// <summary>The words of a caution. Throws KeyNotFoundException for a code that is not in the list.</summary>
    public static string TextOf(string code) => Texts[code];
}
