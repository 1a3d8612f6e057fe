using Reliability.History.Catalogue;

namespace Reliability.Analysis;

/// <summary>
/// The cautions that go with every answer that leads someone to open equipment: those of the module model, and the usual ones
/// where the model does not put its own words under the same code.
/// </summary>
public static class HandlingCautions
{
    /// <summary>The usual cautions, in the order in which they are met.</summary>
    public static IReadOnlyList<Caution> Usual { get; } =
    [
        Say("QUALIFIED_STAFF_ONLY", "Work on the equipment is for qualified staff only."),
        Say("FOLLOW_SERVICE_MANUAL", "Follow the maker's service manual and local rules; they go before anything said here."),
        Say("ISOLATE_SUPPLY", "Isolate the equipment from its supply, secure it against switching on, and check that it is dead before opening it."),
        Say("COOL_DOWN", "Let hot parts cool down for the time the maker states."),
        Say("EYE_AND_HAND_PROTECTION", "Wear eye and hand protection."),
        Say("GLASS_UNDER_PRESSURE", "Glass parts may be under pressure and can burst; do not strain, scratch or touch them with bare hands."),
        Say("INTERLOCK", "Do not defeat interlocks; check that they work before return to use."),
        Say("CHECK_BEFORE_USE", "Check the output and make an electrical safety test before the equipment returns to use."),
        Say("DISPOSAL", "Dispose of the old module by the route that local rules demand."),
        Say("RATED_HOURS_HOLD", "The maker's rated hours hold. A prediction is a statistical estimate, never a permission to exceed them."),
        Say("PLANNING_AID", "This is a planning aid. It is not a function of a medical device and not a release check."),
        Say("NOT_AN_ALARM", "This is not an alarm. A module may fail before any date given; keep the usual checks and spares."),
        Say("LIFE_ONLY", "What is said is of life only, not of electrical, optical or mechanical safety."),
        Say("REFURBISHING_PERMITTED", "Whether refurbishing is permitted is for the maker, local law and the hospital to say."),
    ];

    /// <summary>The cautions of a module model together with the usual ones.</summary>
    /// <param name="model">The version of the module model in force; null when the model is not known.</param>
    /// <returns>The model's own first, then the usual ones whose code the model does not use.</returns>
    public static IReadOnlyList<Caution> For(ModuleModelVersion? model)
    {
        var own = model?.Cautions ?? [];
        return [.. own, .. Usual.Where(usual => own.All(o => o.Code != usual.Code))];
    }

    private static Caution Say(string code, string text) => new() { Code = code, Text = text };
}
