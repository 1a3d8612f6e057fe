using Reliability.Service.Lives;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Lives;

/// <summary>What is remembered of lives is found by the same question of the same organisation's same lives, and by no other.</summary>
public sealed class LivesMemoryTests
{
    private static readonly Guid Mark = Guid.NewGuid();

    [Fact]
    public void It_is_found_again_by_the_same_question()
    {
        using var memory = new LivesMemory();
        var fit = new LifeFit { LifeModel = "weibull" };
        memory.Keep(Key(), Mark, fit, 100);

        Assert.Same(fit, memory.Find<LifeFit>(Key(), Mark));
    }

    [Fact]
    public void Another_organisation_cohort_question_or_state_of_the_lives_finds_nothing()
    {
        using var memory = new LivesMemory();
        memory.Keep(Key(), Mark, new LifeFit(), 100);

        Assert.Null(memory.Find<LifeFit>(Key(organisation: "velsham"), Mark));
        Assert.Null(memory.Find<LifeFit>(Key(cohort => cohort.Sites.Add("Quennick General")), Mark));
        Assert.Null(memory.Find<LifeFit>(Key(cohort => cohort.IncludeFlagged = true), Mark));
        Assert.Null(memory.Find<LifeFit>(Key(question: request => request.ConfidenceLevel = 0.9), Mark));
        Assert.Null(memory.Find<LifeFit>(Key() with { Question = null }, Mark));
        Assert.Null(memory.Find<LifeFit>(Key(), Guid.NewGuid()));
    }

    [Fact]
    public void Newer_lives_take_the_place_of_older_ones()
    {
        using var memory = new LivesMemory();
        var (fit, newer) = (new LifeFit(), Guid.NewGuid());
        memory.Keep(Key(), Mark, new LifeFit(), 100);
        memory.Keep(Key(), newer, fit, 100);

        Assert.Same(fit, memory.Find<LifeFit>(Key(), newer));
        Assert.Null(memory.Find<LifeFit>(Key(), Mark));
    }

    [Fact]
    public void It_holds_no_more_than_it_may()
    {
        using var memory = new LivesMemory(mostBytes: 1_000);
        for (var n = 0; n < 100; n++)
            memory.Keep(Key(question: request => request.Seed = n), Mark, new LifeFit(), 100);

        Assert.InRange(Enumerable.Range(0, 100).Count(n => memory.Find<LifeFit>(Key(question: request => request.Seed = n), Mark) is not null), 1, 10);
    }

    private static LivesKey Key(Action<Cohort>? set = null, Action<FitLivesRequest>? question = null, string organisation = "quennick")
    {
        var (cohort, asked) = (new Cohort { ModuleModels = { "moduleModels/blower-20" } }, new FitLivesRequest { LifeModel = "weibull" });
        set?.Invoke(cohort);
        question?.Invoke(asked);
        return new(organisation, cohort, asked);
    }
}
